"""Figures as people write them: with the point or the comma of their language, either taken."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.formats import get_format
from django.utils.translation import gettext as _

_GROUPED = re.compile(r"^[-+]?[1-9]\d{0,2}(?P<sign>[.,])\d{3}$")


def pointed(text: str) -> str:
    """A figure in plain digits, such as 12.5, with the reader's own sign for the point.

    For what people read alone: what goes into a field, a drawing or a file keeps its point.
    """
    sign = decimal_sign()
    return text if sign == "." else text.replace(".", sign)


def decimal_sign() -> str:
    """The sign between whole and part, in the language that is spoken now."""
    return str(get_format("DECIMAL_SEPARATOR"))


def check_thousands(text: str) -> None:
    """Refuse what may be meant as thousands: 1,250 in English, 1.250 in German; 0,125 is a part.

    :raises ValueError: with a sentence.
    """
    found = _GROUPED.match(text)
    if found and found["sign"] != decimal_sign():
        raise ValueError(_("Leave the comma out of thousands."))


def _with_a_point(field: forms.Field, value: Any) -> Any:
    if not isinstance(value, str):
        return value
    # A browser's own field for numbers sends a point, whatever the language.
    if "," in value or getattr(field.widget, "input_type", "") != "number":
        try:
            check_thousands(value.strip())
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
    return value.replace(",", ".") if value.count(",") == 1 else value


class AnyFloat(forms.FloatField):
    """A number with a point or a comma, whatever the language."""

    def to_python(self, value: Any) -> float | None:  # type: ignore[override]
        """The number; 12,5 is 12.5."""
        return super().to_python(_with_a_point(self, value))


class AnyDecimal(forms.DecimalField):
    """The same, exactly."""

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override]
        """The number; 12,5 is 12.5."""
        return super().to_python(_with_a_point(self, value))
