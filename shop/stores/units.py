"""Figures as people type them and read them: lengths kept in millimetres, currents in mA."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from shop.stores.specs import Quantity, Unit

INCH_MM = Decimal("25.4")
_SAID = re.compile(
    r"""^\s*(?:(?P<whole>\d+)[\s-]+)?(?:(?P<over>\d+)/(?P<under>\d+)|(?P<number>\d*[.,]?\d+))
    \s*(?P<unit>mm|cm|m|in|inch|inches|"|″)?\s*$""",
    re.VERBOSE | re.IGNORECASE,
)
_OF_A_THOUSAND = {Unit.MA: ("mA", "A"), Unit.MW: ("mW", "W"), Unit.MV: ("", "V")}
_IN_MM = {"mm": Decimal(1), "cm": Decimal(10), "m": Decimal(1000)}


def millimetres(text: str, unit: str = "mm") -> Decimal:
    """A length as typed: "26.2", "26,2 mm", "7/8 in", "1 1/16"; a bare number is in ``unit``.

    :raises ValueError: with a sentence, where it is no length.
    """
    found = _SAID.match(text)
    if found is None:
        raise ValueError(_("Type a length such as 26.2 mm or 7/8 in."))
    if found["over"]:
        if int(found["under"]) == 0:
            raise ValueError(_("Type a length such as 26.2 mm or 7/8 in."))
        parts = Fraction(int(found["over"]), int(found["under"])) + int(found["whole"] or 0)
        value = Decimal(parts.numerator) / Decimal(parts.denominator)
    elif found["whole"]:
        raise ValueError(_("Type a length such as 26.2 mm or 7/8 in."))
    else:
        value = Decimal(found["number"].replace(",", "."))
    return value * _IN_MM.get((found["unit"] or unit).lower(), INCH_MM)


def shown(mm: float | Decimal, unit: str = "mm") -> str:
    """A length as it is shown: 26.15 mm, or 1.030 in; no more digits than were measured."""
    if unit == "in":
        return f"{Decimal(str(mm)) / INCH_MM:.3f}\u202fin"
    text = f"{Decimal(str(mm)):.2f}"
    return f"{text.rstrip('0').rstrip('.') if text.endswith('00') else text}\u202fmm"


def quantity_shown(quantity: int, counted: str) -> str:
    """So many pieces, or so much by length: 3; 800 mm; 12.4 m."""
    if counted == "piece":
        return str(quantity)
    if abs(quantity) < 1000:
        return f"{quantity}\u202fmm"
    return f"{Decimal(quantity) / 1000:f}".rstrip("0").rstrip(".") + "\u202fm"


def figure_shown(quantity: Quantity, value: Any, length_unit: str = "mm") -> str:
    """A figure of a spec with its unit: 800 mA but 15 A, 3.7 V, 26.15 mm, a word as it is."""
    if quantity.unit == Unit.CHOICE:
        return str(dict(quantity.choices).get(value, value))
    if quantity.unit == Unit.TEXT:
        return str(value)
    if quantity.unit == Unit.MM:
        return shown(value, length_unit)
    if quantity.unit in _OF_A_THOUSAND:
        return _of_a_thousand(float(value), *_OF_A_THOUSAND[quantity.unit])
    if quantity.unit == Unit.PER_M:
        return _("%(number)s a metre") % {"number": _number(value)}
    return f"{_number(value)}\u202f{quantity.unit}".rstrip("\u202f")


def _of_a_thousand(value: float, small: str, large: str) -> str:
    if small and value < 1000:
        return f"{_number(value)}\u202f{small}"
    return f"{_number(value / 1000)}\u202f{large}"


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")
