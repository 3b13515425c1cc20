"""What the customs are told of a parcel, as it is typed; the value by the owner alone."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from builds.dispatch.actions.customs import ToCustoms, tariff_code
from builds.dispatch.models import Parcel
from builds.dispatch.refusals import Refused
from shop.house.models import House
from shop.house.world import countries
from shop.web.money import MoneyField


class CustomsForm(forms.Form):
    """Description, value, origin and tariff code; what stays empty is not known yet."""

    words = forms.CharField(
        label=_("What it is"),
        required=False,
        max_length=200,
        help_text=_("In plain words: what it is, what it is made of, what was done to it."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    origin = forms.ChoiceField(label=_("Country of origin"), required=False)
    tariff_code = forms.CharField(
        label=_("Tariff code"),
        required=False,
        max_length=14,
        widget=forms.TextInput(attrs={"autocomplete": "off", "inputmode": "decimal"}),
    )
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, currency: str, sees_money: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["origin"].choices = [("", _("not known yet")), *countries()]  # type: ignore[attr-defined]
        if sees_money:
            self.fields["value"] = MoneyField(label=_("Value"), currency=currency)
            self.order_fields(["words", "value", "origin", "tariff_code"])

    def clean_tariff_code(self) -> str:
        """Digits, six at least."""
        try:
            return tariff_code(self.cleaned_data["tariff_code"])
        except Refused as refusal:
            raise forms.ValidationError(str(refusal)) from refusal

    def clean_value(self) -> int | None:
        """The customs want a value, of a repair or a gift too."""
        value: int | None = self.cleaned_data["value"]
        if value == 0:
            raise forms.ValidationError(_("Write a sum above nothing: what it would sell for."))
        return value

    def look_again(self, seen: int) -> None:
        """Somebody was first: sent once more, what was typed takes the place of theirs."""
        self.data = {**{name: self.data[name] for name in self.data}, "seen": str(seen)}

    def told(self) -> ToCustoms:
        """What was typed, as the action takes it."""
        fields = self.cleaned_data
        return ToCustoms(
            fields["words"], fields["origin"], fields["tariff_code"], fields.get("value")
        )


def customs_initial(parcel: Parcel, house: House, suggested: int | None) -> dict[str, Any]:
    """What stands in the form: what is kept, else what the shop's settings say."""
    return {
        "words": parcel.customs_words or house.customs_words,
        "origin": parcel.origin or house.origin,
        "tariff_code": parcel.tariff_code or house.tariff_code,
        "value": parcel.customs_minor if parcel.customs_minor is not None else suggested,
    }
