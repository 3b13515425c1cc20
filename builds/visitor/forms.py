"""The one form of the customer's page."""

from uuid import uuid4

from django import forms
from django.utils.translation import gettext_lazy as _

MOST_SIGNS = 2000


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
