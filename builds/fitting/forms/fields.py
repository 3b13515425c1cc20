"""Fields that several forms of this room share: a token, a length in whole millimetres."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.units import millimetres

LONGEST_MM = 100_000


class TokenForm(forms.Form):
    """Names one filling-in of a form, so that a double tap is one deed."""

    token = forms.UUIDField(
        widget=forms.HiddenInput,
        error_messages={
            "required": gettext_lazy("This page is out of date. Open it anew and tap again."),
            "invalid": gettext_lazy("This page is out of date. Open it anew and tap again."),
        },
    )


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
            raise forms.ValidationError(_("Type a length up to 100 m."))
        return found


def length_typed(mm: int, unit: str) -> str:
    """A length as it stands in a field, where its label says the unit."""
    return f"{mm / 25.4:.2f}".rstrip("0").rstrip(".") if unit == "in" else str(mm)
