"""The form of the counter: what goes back, who takes it."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.bench.actions.collect import Handing
from builds.bench.forms.giving_back import GivingBack


class CollectForm(GivingBack):
    """Who collects a build, that they signed, and each belonging: back, or why it stays."""

    token = forms.UUIDField(widget=forms.HiddenInput)
    expected = forms.CharField(max_length=10, widget=forms.HiddenInput)
    who = forms.CharField(
        label=_("Who collects it?"),
        max_length=80,
        help_text=_("The customer, or whom they sent."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={"required": _("Write down who takes it along.")},
    )
    signed = forms.BooleanField(label=_("Signed on paper"), required=False)
    note = forms.CharField(
        label=_("Note"),
        required=False,
        max_length=300,
        help_text=_("Paid in cash, shown how to charge it: what is worth remembering."),
    )

    def clean(self) -> dict[str, Any]:
        """Each belonging is spoken for."""
        fields: dict[str, Any] = super().clean() or {}
        self.check_things(fields)
        return fields

    def handing(self) -> Handing:
        """What was said, as the action takes it."""
        fields = self.cleaned_data
        return Handing(
            who=fields["who"],
            signed=fields["signed"],
            note=fields["note"],
            back=self.back(),
            stays=self.stays(),
        )
