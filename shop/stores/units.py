"""Lengths as people type them and read them; kept in millimetres."""

import re
from decimal import Decimal
from fractions import Fraction

from django.utils.translation import gettext as _

INCH_MM = Decimal("25.4")
_SAID = re.compile(
    r"""^\s*(?:(?P<whole>\d+)[\s-]+)?(?:(?P<over>\d+)/(?P<under>\d+)|(?P<number>\d*[.,]?\d+))
    \s*(?P<unit>mm|cm|m|in|inch|inches|"|″)?\s*$""",
    re.VERBOSE | re.IGNORECASE,
)
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
