"""Fields for a caliper: a length, a thread's pitch, an angle; with the text of it as typed."""

import re
from dataclasses import dataclass
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from builds.hilts.actions import Reading
from builds.hilts.actions.measuring import LONGEST_MM
from shop.stores.units import millimetres

MOST_SIGNS = 14  # two of them, their unit and a stroke are kept in forty
_PER_INCH = re.compile(r"^\s*(\d{1,3})\s*(?:tpi|/\s*in)\s*$", re.IGNORECASE)
_ANGLE = re.compile(r"^\s*(\d{1,3}(?:[.,]\d{1,2})?)\s*(?:°|deg)?\s*$", re.IGNORECASE)
INCH_MM = 25.4


@dataclass(frozen=True)
class Typed:
    """A value in mm or degrees, and its text with a unit."""

    value: float
    text: str


def reading(first: Typed, second: Typed | None = None, tolerance: Typed | None = None) -> Reading:
    """A reading from what was typed."""
    return Reading(
        first.value,
        first.text if second is None else f"{first.text} / {second.text}",
        None if second is None else second.value,
        None if tolerance is None else tolerance.value,
    )


class _TypedField(forms.CharField):
    """One line for a number; empty is nothing."""

    def __init__(self, *, mode: str = "decimal", **kwargs: Any) -> None:
        attrs = {"inputmode": mode, "autocomplete": "off", "enterkeyhint": "next"}
        kwargs.setdefault("required", False)
        super().__init__(max_length=MOST_SIGNS, widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> Any:
        """What was typed, or None."""
        text: str = super().clean(value)
        return self.read(text) if text else None

    def read(self, text: str) -> Typed:
        """The value that a text names; a bare number is itself."""
        return Typed(float(text), text)


class LengthField(_TypedField):
    """A length in the shop's unit, or in the one that is typed with it."""

    def __init__(self, *, unit: str, **kwargs: Any) -> None:
        self.unit = unit
        super().__init__(mode="decimal" if unit == "mm" else "text", **kwargs)

    def read(self, text: str) -> Typed:
        """Its millimetres.

        :raises ValidationError: it is no length, or longer than any hilt.
        """
        try:
            value = float(millimetres(text, self.unit))
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
        if value > LONGEST_MM:
            raise forms.ValidationError(_("That is longer than any hilt. Look at the unit."))
        return Typed(value, f"{text} {self.unit}" if text[-1].isdigit() else text)


class PitchField(LengthField):
    """A thread's pitch as a length, or as threads an inch."""

    def read(self, text: str) -> Typed:
        """Its millimetres; "20 tpi" is understood."""
        found = _PER_INCH.match(text)
        if found and int(found[1]):
            return Typed(INCH_MM / int(found[1]), text)
        return super().read(text)


class AngleField(_TypedField):
    """An angle in degrees, seen from the blade's end, clockwise from the top."""

    def read(self, text: str) -> Typed:
        """Its degrees.

        :raises ValidationError: it is no angle within one turn.
        """
        found = _ANGLE.match(text)
        value = float(found[1].replace(",", ".")) if found else -1.0
        if not 0 <= value <= 360:
            raise forms.ValidationError(_("Type an angle from 0 to 360, such as 90."))
        return Typed(value, f"{value:g}°")
