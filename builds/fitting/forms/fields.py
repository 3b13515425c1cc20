"""What several forms of this room share: the token that makes a double tap one deed."""

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.units import millimetres, shown

LONGEST_MM = 1000.0  # no section is longer


class StartsField(forms.CharField):
    """How far behind its section's front edge a part begins; empty: in order, from the front."""

    def __init__(self, *, unit: str) -> None:
        self.unit = unit
        typed = {"autocomplete": "off", "inputmode": "decimal" if unit == "mm" else "text"}
        super().__init__(
            label=_("starts … %s from the section’s front edge") % unit, required=False,
            max_length=20, widget=forms.TextInput(attrs=typed),
        )  # fmt: skip

    def prepare_value(self, value: Any) -> Any:
        """As it stands in the field, whose label says the unit."""
        return shown(value, self.unit).split("\u202f")[0] if isinstance(value, float) else value

    def clean(self, value: Any) -> Any:
        """Its millimetres, or None.

        :raises ValidationError: it is no length, or longer than any section.
        """
        text = super().clean(value)
        if not text:
            return None
        try:
            found = float(millimetres(text, self.unit))
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
        if found > LONGEST_MM:
            raise forms.ValidationError(_("That is longer than any section. Look at the unit."))
        return found

    def has_changed(self, initial: Any, data: Any) -> bool:
        """Whether something else stands there than was shown."""
        return str(self.prepare_value(initial) or "") != str(data or "").strip()


class TokenForm(forms.Form):
    """Names one filling-in of a form, so that a double tap is one deed."""

    token = forms.UUIDField(
        widget=forms.HiddenInput,
        error_messages={
            "required": gettext_lazy("This page is out of date. Open it anew and tap again."),
            "invalid": gettext_lazy("This page is out of date. Open it anew and tap again."),
        },
    )
