"""Choosing a part and how much of it, in the unit that it is counted in."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.kinds import FOR_PACKING, IN_BUILDS, Counted
from shop.stores.models import Part
from shop.stores.units import millimetres

LONGEST_MM = 100_000
MOST = 1000  # pieces in one line
_KINDS = [("", gettext_lazy("every kind")), *IN_BUILDS]


class LengthField(forms.CharField):
    """A length in the shop's unit; cleans to whole millimetres."""

    def __init__(self, *, unit: str, least: int = 1, **kwargs: Any) -> None:
        self.unit, self.least = unit, least
        attributes = {"autocomplete": "off", "inputmode": "text", "spellcheck": "false"}
        super().__init__(widget=forms.TextInput(attrs=attributes), max_length=20, **kwargs)

    def clean(self, value: Any) -> Any:
        """The length; what is none is refused in words."""
        text = super().clean(value)
        if not text:
            return None
        try:
            found = round(millimetres(text, self.unit))
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
        if not self.least <= found <= LONGEST_MM:
            raise forms.ValidationError(_("Type a length from 1 mm to 100 m."))
        return found


def length_typed(mm: int, unit: str) -> str:
    """A length as it stands in a field, where its label says the unit."""
    return f"{mm / 25.4:.2f}".rstrip("0").rstrip(".") if unit == "in" else str(mm)


class ChooseForm(forms.Form):
    """What is looked for in the stores."""

    kind = forms.ChoiceField(label=gettext_lazy("kind"), choices=_KINDS, required=False)
    begins = forms.CharField(
        label=gettext_lazy("name begins with, or label"), required=False, max_length=80,
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )  # fmt: skip


class QuantityForm(forms.Form):
    """So much of one part."""

    part = forms.ModelChoiceField(Part.objects.filter(retired=False).exclude(kind__in=FOR_PACKING))
    quantity = forms.CharField(max_length=20)

    def __init__(self, data: Any, *, unit: str) -> None:
        super().__init__(data)
        self.unit = unit

    def clean(self) -> dict[str, Any]:
        """How much, as the part is counted."""
        values = super().clean() or {}
        part, text = values.get("part"), values.get("quantity")
        if part and text:
            try:
                values["quantity"] = self._counted(part).clean(text)
            except forms.ValidationError as error:
                self.add_error("quantity", error)
        return values

    def _counted(self, part: Part) -> forms.Field:
        if part.counted == Counted.MM:
            return LengthField(unit=self.unit)
        return forms.IntegerField(min_value=1, max_value=MOST)
