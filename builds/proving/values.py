"""How a reading is typed and judged: plain values, no table."""

import math
import re
from dataclasses import dataclass
from typing import Protocol

from django.utils.translation import gettext as _

from builds.proving.states import Verdict
from shop.web.figures import pointed

_NOISE = 1e-9  # of binary fractions: exactly at a limit passes
_MOST = 1e9
_TYPED = re.compile(r"^([0-9]*[.,]?[0-9]+|[0-9]+[.,])\s*([^\s0-9.,]*)$")
_PREFIX = {"µ": 1e-6, "u": 1e-6, "μ": 1e-6, "m": 1e-3, "": 1.0, "k": 1e3, "M": 1e6}
_SCALED = ("A", "V", "Ω", "N")
_OPEN = frozenset({"ol", "o.l", "o.l.", "open", "∞"})  # what a meter shows where nothing flows


class Limited(Protocol):
    """What has limits."""

    low: float | None
    high: float | None
    high_told: float | None
    times: int | None


@dataclass(frozen=True)
class Typed:
    """A reading as it was typed, and its number in the unit of the line; infinite: open."""

    text: str
    value: float


def typed(text: str, unit: str) -> Typed:
    """What somebody typed: 1.2 and 1,2 alike, with or without its unit.

    :raises ValueError: a sentence, where it is no reading.
    """
    text = text.strip()
    if text.casefold() in _OPEN and "Ω" in unit:
        return Typed("OL", math.inf)
    found = _TYPED.match(text)
    if found is None:
        raise ValueError(_("A number is wanted, such as 1.2."))
    value = float(found[1].replace(",", ".")) * _scale(found[2], unit)
    if value > _MOST:
        raise ValueError(_("No meter shows that much. Look at it again."))
    return Typed(text if found[2] or not unit else f"{text} {unit}", value)


def _scale(said: str, unit: str) -> float:
    """What a number in the unit that was typed is multiplied with."""
    said = said.replace("Ω", "Ω").replace("ohm", "Ω")
    if not said or said == unit:
        return 1.0
    base = next((each for each in _SCALED if unit.endswith(each)), "")
    if base and said.endswith(base):
        own, other = _PREFIX.get(unit.removesuffix(base)), _PREFIX.get(said.removesuffix(base))
        if own and other:
            return other / own
    raise ValueError(_("This line is read in %s.") % unit if unit else _("A bare number."))


def judged(line: Limited, value: float) -> Verdict:
    """What the limits of a line say of a number. Exactly at a limit passes."""
    if line.times is not None:
        return Verdict.PASS if value == line.times else Verdict.FAIL
    if line.low is not None and value < line.low - abs(line.low) * _NOISE:
        return Verdict.FAIL
    if line.high is None or value <= line.high + abs(line.high) * _NOISE:
        return Verdict.PASS
    told = line.high_told
    if told is not None and value <= told + abs(told) * _NOISE:
        return Verdict.TELL
    return Verdict.FAIL


def number(value: float) -> str:
    """A number of a limit, with no more digits than it needs."""
    return pointed(f"{value:.4g}") if abs(value) < 10_000 else f"{value:.0f}"
