"""Figures as people type them and read them: lengths kept in millimetres, currents in mA."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import Any

from django.utils.translation import gettext as _

from shop.stores.specs import IN_WORDS, Quantity, Unit
from shop.web.figures import check_thousands, pointed

INCH_MM = Decimal("25.4")
_SAID = re.compile(
    r"""^\s*(?:(?P<whole>\d+)[\s-]+)?(?:(?P<over>\d+)/(?P<under>\d+)|(?P<number>\d*[.,]?\d+))
    \s*(?P<unit>mm|cm|m|in|inch|inches|"|″)?\s*$""",
    re.VERBOSE | re.IGNORECASE,
)
_TYPED = re.compile(r"^(?P<number>\d*[.,]?\d+)\s*(?P<unit>[a-zA-ZΩ%]*)$")
_AUGHTS = re.compile(r"^(?:0{2,4}|[1-4]/0)$")  # the gauges above 0: 00 is 2/0
# Unit of a figure → the units people type, with how many of it each is. None: a bare number is
# refused, because 15 may be amperes or milliamperes.
_SPELLED: dict[Unit, dict[str, float | None]] = {
    Unit.MA: {"": None, "a": 1000, "ma": 1},
    Unit.MW: {"": None, "w": 1000, "mw": 1},
    Unit.MV: {"": 1000, "v": 1000, "mv": 1},
    Unit.MAH: {"": 1, "mah": 1, "ah": 1000},
    Unit.G: {"": 1, "g": 1, "kg": 1000},
    Unit.OHM: {"": 1, "ω": 1, "ohm": 1},
    Unit.PER_M: {"": 1},
    Unit.PER_CENT: {"": 1, "%": 1},
    Unit.AWG: {"": 1, "awg": 1},
    Unit.COUNT: {"": 1},
}
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
    unit = (found["unit"] or unit).lower()
    if unit == "mm":  # of an inch or a metre, three digits are a usual part
        check_thousands(found["number"] or "")
    return value * _IN_MM.get(unit, INCH_MM)


def shown(mm: float | Decimal, unit: str = "mm") -> str:
    """A length as it is shown: 26.15 mm, 24.6 mm, 38 mm, or 1.030 in; no noughts at the end."""
    if unit == "in":
        return pointed(f"{Decimal(str(mm)) / INCH_MM:.3f}") + "\u202fin"
    text = f"{Decimal(str(mm)):.2f}".rstrip("0").rstrip(".")
    return f"{pointed(text)}\u202fmm"


def quantity_shown(quantity: int, counted: str) -> str:
    """So many pieces, or so much by length: 3; 800 mm; 12.4 m."""
    if counted == "piece":
        return str(quantity)
    if abs(quantity) < 1000:
        return f"{quantity}\u202fmm"
    return f"{_number(quantity / 1000)}\u202fm"


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
    if quantity.unit == Unit.AWG and value < 0:
        return f"{1 - value:.0f}/0\u202fAWG"
    if quantity.unit == Unit.PER_M:
        return _("%(number)s a metre") % {"number": _number(value)}
    unit = "" if quantity.unit == Unit.COUNT else f"\u202f{quantity.unit}"
    return _number(value) + unit


def typed_figure(quantity: Quantity, text: str, length_unit: str = "mm") -> Any:
    """A figure as typed, in the unit it is kept in: "15 A" and "15000 mA" are 15000.

    :raises ValueError: with a sentence, where it is no such figure.
    """
    text = " ".join(text.split())
    if quantity.unit in IN_WORDS:
        return text
    if quantity.unit == Unit.MM:
        return float(millimetres(text, length_unit))
    if quantity.unit == Unit.AWG and _AUGHTS.match(text):
        return float(1 - (int(text[0]) if "/" in text else len(text)))
    value = _in_unit(quantity.unit, text)
    if quantity.unit in {Unit.COUNT, Unit.AWG} and value % 1:
        raise ValueError(_("Type a whole number."))
    return value


def _in_unit(unit: Unit, text: str) -> float:
    found, spelled = _TYPED.match(text), _SPELLED[unit]
    if found is None or found["unit"].lower() not in spelled:
        raise ValueError(_("Type a number such as %s.") % example(unit))
    check_thousands(found["number"])
    factor = spelled[found["unit"].lower()]
    if factor is None:
        raise ValueError(_("Say the unit too, such as %s.") % example(unit))
    return round(float(found["number"].replace(",", ".")) * factor, 6)


def example(unit: Unit) -> str:
    """How a figure of a unit may be typed."""
    return {
        Unit.MA: _("15 A or 800 mA"),
        Unit.MW: _("3 W or 500 mW"),
        Unit.MV: _("3.7 V"),
        Unit.MAH: _("3000 mAh"),
        Unit.G: _("45 g"),
        Unit.OHM: _("8"),
        Unit.PER_M: _("144"),
        Unit.PER_CENT: _("80"),
        Unit.AWG: _("22 AWG"),
    }.get(unit, "2")


def _of_a_thousand(value: float, small: str, large: str) -> str:
    if small and value < 1000:
        return f"{_number(value)}\u202f{small}"
    return f"{_number(value / 1000)}\u202f{large}"


def _number(value: float) -> str:
    return pointed(f"{value:.3f}".rstrip("0").rstrip("."))
