"""Figures as people write them: with the point or the comma of their language, either taken."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.formats import get_format


def pointed(text: str) -> str:
    """A figure in plain digits, such as 12.5, with the reader's own sign for the point.

    For what people read alone: what goes into a field, a drawing or a file keeps its point.
    """
    sign = decimal_sign()
    return text if sign == "." else text.replace(".", sign)


def decimal_sign() -> str:
    """The sign between whole and part, in the language that is spoken now."""
    return str(get_format("DECIMAL_SEPARATOR"))


def _with_a_point(value: Any) -> Any:
    return value.replace(",", ".") if isinstance(value, str) and value.count(",") == 1 else value


class AnyFloat(forms.FloatField):
    """A number with a point or a comma, whatever the language."""

    def to_python(self, value: Any) -> float | None:  # type: ignore[override]
        """The number; 12,5 is 12.5."""
        return super().to_python(_with_a_point(value))


class AnyDecimal(forms.DecimalField):
    """The same, exactly."""

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override]
        """The number; 12,5 is 12.5."""
        return super().to_python(_with_a_point(value))
