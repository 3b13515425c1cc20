"""The shop's warranty: how many days on which job, and in which words."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.house.models import House

MOST_DAYS = 3650


class WarrantyForm(forms.ModelForm):
    """What is promised as a build leaves."""

    class Meta:
        model = House
        fields = ["warranty_days", "repair_days", "renewed_days", "warranty_words"]
        widgets = {"warranty_words": forms.Textarea(attrs={"rows": 5})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._days(
            "warranty_days",
            _("Full installs, upgrades and blades, days"),
            _("0 where you promise none. From 45 days to a year are seen; no source says more."),
        )
        self._days(
            "repair_days",
            _("Repairs that are paid, days"),
            _("Counted from the day the repair leaves. The first warranty goes on beside it."),
        )
        self._days(
            "renewed_days",
            _("Repairs under warranty, at least so many days"),
            _("0: the first warranty runs on as it was, neither longer nor shorter."),
        )
        self.fields["warranty_words"].label = _("In words")
        self.fields["warranty_words"].help_text = _(
            "What it covers and what not, as the customer reads it. What the law where you are "
            "gives them stays beside it."
        )
        self.before = {name: getattr(self.instance, name) for name in self.fields}

    def _days(self, name: str, label: Any, help_text: Any) -> None:
        self.fields[name] = forms.IntegerField(
            label=label, help_text=help_text, min_value=0, max_value=MOST_DAYS
        )

    def changed(self) -> list[str]:
        """The fields that have another value now."""
        return [name for name, old in self.before.items() if self.cleaned_data[name] != old]
