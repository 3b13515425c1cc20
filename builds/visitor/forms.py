"""The one form of the customer's page."""

from uuid import uuid4

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.web.widgets import FilesField

MOST_SIGNS = 2000


class YesNoForm(forms.Form):
    """A yes or a no, said by a button of its own; with a no, why, if they like to say."""

    said = forms.ChoiceField(choices=[("yes", "yes"), ("no", "no")])
    words = forms.CharField(
        label=_("Why, if you like to tell us"),
        max_length=MOST_SIGNS,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2, "autocomplete": "off"}),
    )

    @property
    def is_yes(self) -> bool:
        """Whether it is a yes."""
        return bool(self.cleaned_data["said"] == "yes")


class SoundsForm(forms.Form):
    """Sound files for the shop: a zip, or the files."""

    sounds = FilesField(
        label=_("A zip, or sound files"),
        error_messages={"required": _("Choose a zip or sound files first.")},
    )
    about = forms.CharField(
        label=_("What they are for"),
        max_length=200,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    once = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)


class QuestionForm(forms.Form):
    """A question to the shop."""

    words = forms.CharField(
        label=_("Your question"),
        max_length=MOST_SIGNS,
        widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
        error_messages={
            "required": _("Write your question first."),
            "max_length": _("That is longer than 2000 signs. Please shorten it a little."),
        },
    )
    once = forms.UUIDField(widget=forms.HiddenInput, initial=uuid4)
