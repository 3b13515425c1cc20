"""Lengths as they are compared and as they are read; what the rest of the fit stands on."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from types import MappingProxyType

from builds.engineering.findings import Finding, Level
from builds.engineering.given import finite, not_negative

NOISE_MM = 1e-9  # what adding floats may be wrong by; no gauge reads a nanometre


@dataclass(frozen=True)
class Clearance:
    """Room on the diameter, negative where there is none, and what it means."""

    clearance_mm: float
    findings: tuple[Finding, ...] = ()


def settled(value: float) -> float:
    """The same length, but 0 where it is no more than what adding floats makes of nothing."""
    return 0.0 if abs(value) < NOISE_MM else value


def shown_clearance_mm(clearance_mm: float, places: int = 2) -> Decimal:
    """A clearance to be read, rounded down, so that what does not fit never reads as 0.

    Source: floor at the last place shown.

    :raises ValueError: where it is no number, or the places are not 0 to 6.
    """
    return _rounded(finite(clearance_mm, "The clearance in mm"), places, ROUND_FLOOR)


def shown_bore_mm(least_bore_mm: float, places: int = 2) -> Decimal:
    """A least bore to be read, rounded up, so that a bore of that size takes what is in it.

    Source: ceiling at the last place shown.

    :raises ValueError: where it is negative or no number, or the places are not 0 to 6.
    """
    return _rounded(not_negative(least_bore_mm, "The bore in mm"), places, ROUND_CEILING)


def finding(level: Level, code: str, about: str, figures: dict[str, float]) -> Finding:
    """A finding whose figures nobody can change any more."""
    return Finding(level, code, about, MappingProxyType(dict(figures)))


def _rounded(value: float, places: int, rounding: str) -> Decimal:
    if places not in range(7):
        raise ValueError(f"A length in mm is shown with 0 to 6 places, not {places}.")
    return Decimal(repr(float(value))).quantize(Decimal(1).scaleb(-places), rounding=rounding)
