"""Lengths as they are read: kept in millimetres, shown in the unit that the shop reads."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from shop.web.figures import pointed

MINUS = "\u2212"
THIN = "\u202f"
INCH_MM = Decimal("25.4")
# As with languages: words far below the page read in it, and none of them decides anything by it.
_UNIT: ContextVar[str] = ContextVar("length unit", default="mm")


@contextmanager
def lengths_in(unit: str) -> Iterator[None]:
    """Every length inside is shown in this unit, mm or in."""
    token = _UNIT.set(unit)
    try:
        yield
    finally:
        _UNIT.reset(token)


def unit() -> str:
    """The unit that lengths are shown in."""
    return _UNIT.get()


def shown(mm: float | Decimal, places: int = 2) -> str:
    """A size as it stands in a drawing, without its unit: 26.2, 1.031; a true minus."""
    return _written(mm, places, ROUND_HALF_UP)


def room_shown(clearance_mm: float) -> str:
    """A clearance or slack rounded down: what does not fit never reads as 0."""
    return _written(clearance_mm, 2, ROUND_FLOOR)


def over_shown(clearance_mm: float) -> str:
    """The same without its sign: how much room there is, or how much too much."""
    return room_shown(clearance_mm).removeprefix(MINUS)


def least_shown(mm: float) -> str:
    """A least bore rounded up: a bore of that size takes what is in it."""
    return _written(mm, 2, ROUND_CEILING)


def with_unit(text: str) -> str:
    """A size with its unit."""
    return f"{text}{THIN}{unit()}"


def _written(mm: float | Decimal, places: int, rounding: str) -> str:
    exact = mm if isinstance(mm, Decimal) else Decimal(repr(float(mm)))
    # What adding floats makes of nothing is nothing: no gauge reads a nanometre.
    exact = exact.quantize(Decimal("1e-9"))
    if unit() == "in":
        exact, places = (exact / INCH_MM).quantize(Decimal("1e-9")), 3
    rounded = exact.quantize(Decimal(1).scaleb(-places), rounding=rounding)
    text = str(rounded or Decimal(0).scaleb(-places))
    if places == 2 and text.endswith("0"):
        text = text[:-1]
    return pointed(text).replace("-", MINUS)
