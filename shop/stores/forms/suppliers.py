"""The form of a supplier."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from shop.stores.forms.fields import token_field
from shop.stores.models import Supplier


class SupplierForm(forms.ModelForm):
    """Who they are, how to reach them, how long they take."""

    web = forms.URLField(
        label=_("Web page"),
        required=False,
        assume_scheme="https",
        widget=forms.URLInput(attrs={"autocomplete": "off"}),
    )

    class Meta:
        model = Supplier
        fields = ["name", "email", "web", "lead_days", "lead_spread_days", "note"]
        help_texts = {
            "email": _("Orders can be written there."),
            "lead_days": _(
                "From ordering to the parcel. Counts until three deliveries have told better."
            ),
            "lead_spread_days": _("Most parcels come within so many days of that."),
        }
        widgets = {"note": forms.Textarea(attrs={"rows": 3})}

    def clean_lead_days(self) -> int:
        return self._days("lead_days")

    def clean_lead_spread_days(self) -> int:
        return self._days("lead_spread_days")

    def _days(self, name: str) -> int:
        days = int(self.cleaned_data[name])
        if days > 365:
            raise forms.ValidationError(_("More than a year: look at the number."))
        return days

    @property
    def facts(self) -> dict[str, Any]:
        """What was typed, by the fields of a supplier."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}

    def _post_clean(self) -> None:
        """The action looks whether the name is free; the row itself is left alone here."""


class NewSupplierForm(SupplierForm):
    """A supplier to be written down."""

    token = token_field()
