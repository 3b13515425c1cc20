"""The form of a carrier's own written rule."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.dispatch.states import RULE_CODES
from shop.web.widgets import Day


class RuleForm(forms.Form):
    """What a carrier allows, in its own words."""

    code = forms.ChoiceField(
        label=gettext_lazy("What it allows"),
        choices=list(RULE_CODES.items()),
        error_messages={
            "invalid_choice": gettext_lazy(
                "No carrier’s word answers a damaged cell, or what is not known."
            )
        },
    )
    words = forms.CharField(
        label=gettext_lazy("The carrier’s own words, letter by letter"),
        widget=forms.Textarea(attrs={"rows": 4}),
        max_length=4000,
    )
    source = forms.CharField(
        label=gettext_lazy("Who wrote it, and where it is kept"), max_length=200
    )
    written_on = forms.DateField(label=gettext_lazy("Written on"), widget=Day)
    valid_until = forms.DateField(label=gettext_lazy("Valid until"), widget=Day, required=False)
    token = forms.UUIDField(widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        """It does not end before it begins."""
        values = super().clean() or self.cleaned_data
        first, last = values.get("written_on"), values.get("valid_until")
        if first and last and last < first:
            self.add_error("valid_until", _("It ends before it was written."))
        return values
