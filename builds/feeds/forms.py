"""The form that makes a feed."""

from django import forms
from django.utils.translation import gettext_lazy as _


class FeedForm(forms.Form):
    """What it is for, so that one knows later which to revoke."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    name = forms.CharField(
        label=_("Which calendar reads it"),
        max_length=40,
        help_text=_("For yourself, such as: my phone."),
    )
