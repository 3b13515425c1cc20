"""Forms of the booklet: a token, or the one that was seen."""

from django import forms


class MakeForm(forms.Form):
    """A booklet to make."""

    token = forms.UUIDField()


class PublishForm(forms.Form):
    """The booklet that the page showed."""

    seen = forms.IntegerField(min_value=1)
