"""Along a hilt: lengths with their tolerances, one behind the other."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from builds.engineering.findings import Finding, Level
from builds.engineering.fit.rounding import finding, settled
from builds.engineering.given import finite, not_negative, positive

Term = tuple[float, float, float, int]  # nominal, plus, minus, +1 or -1


@dataclass(frozen=True)
class Stack:
    """A chain of lengths: what is left at nominal, at the worst, and by root sum of squares."""

    nominal: float
    worst_low: float
    worst_high: float
    rss_low: float
    rss_high: float


@dataclass(frozen=True)
class Length:
    """How long a part is, and how much longer or shorter it may be."""

    nominal_mm: float
    plus_mm: float = 0.0
    minus_mm: float = 0.0


def stack_up(terms: Sequence[Term]) -> Stack:
    """What is left of a chain of lengths, each (nominal, plus, minus, +1 adds or -1 takes away).

    Nominal: the sum. Worst: every length at the end of its tolerance that hurts. RSS: about the
    middle of each tolerance band, ± √Σ((plus + minus)/2)², which for equal plus and minus is
    nominal ± √Σt².

    Source: tolerance stack-up, worst case and root sum of squares, as on ficientdesign.com.

    :raises ValueError: where the chain is empty, a sign is neither +1 nor -1, or a length or a
        tolerance is negative or no number.
    """
    if not terms:
        raise ValueError("A stack-up needs at least one length.")
    for place_in_stack, term in enumerate(terms, start=1):
        _look_at(term, f"length {place_in_stack}")
    nominal = math.fsum(sign * length for length, _, _, sign in terms)
    # A part that takes away leaves most where it is shortest.
    up = math.fsum(plus if sign > 0 else minus for _, plus, minus, sign in terms)
    down = math.fsum(minus if sign > 0 else plus for _, plus, minus, sign in terms)
    centre = nominal + (up - down) / 2
    halves = [(plus + minus) / 2 for _, plus, minus, _ in terms]
    spread = math.sqrt(math.fsum(half * half for half in halves))
    low, high = nominal - down, nominal + up
    return Stack(nominal, low, high, max(low, centre - spread), min(high, centre + spread))


def room_left_mm(sections_mm: Sequence[float], blade_depth_mm: float = 0.0) -> float:
    """The length of the hilt that is left for parts: Σ sections − depth of the blade.

    Source: plain sum of the lengths inside.

    :raises ValueError: where a section is not above 0, or the blade goes deeper than the hilt.
    """
    inside = math.fsum(positive(length, "A section's length in mm") for length in sections_mm)
    depth = not_negative(blade_depth_mm, "The depth of the blade in mm")
    if settled(inside - depth) < 0:
        raise ValueError(f"The blade goes {depth:g} mm deep, and the hilt is {inside:g} mm inside.")
    return settled(inside - depth)


def lengthwise(
    room_mm: float, lengths: Sequence[Length], room_plus_mm: float = 0.0, room_minus_mm: float = 0.0
) -> Stack:
    """What is left of the room behind the blade once the parts stand in it one after another.

    Slack = room − Σ parts, with its worst case and RSS: see :func:`stack_up`.

    :raises ValueError: where a length or a tolerance is negative or no number.
    """
    parts = [(part.nominal_mm, part.plus_mm, part.minus_mm, -1) for part in lengths]
    return stack_up([(room_mm, room_plus_mm, room_minus_mm, 1), *parts])


def slack_findings(slack: Stack, about: str = "") -> tuple[Finding, ...]:
    """What the slack of a stack of parts means.

    Finds ``too-long`` (stops) where it is negative at nominal, ``likely-too-long`` (to decide)
    where it is by root sum of squares, ``worst-too-long`` (to know) where it is in the worst
    case alone. Source: :func:`stack_up`; which of them stops is common practice.
    """
    figures = {
        "slack_mm": slack.nominal,
        "worst_mm": slack.worst_low,
        "rss_mm": slack.rss_low,
    }
    for value, level, code in (
        (slack.nominal, Level.STOPS, "too-long"),
        (slack.rss_low, Level.DECIDE, "likely-too-long"),
        (slack.worst_low, Level.KNOW, "worst-too-long"),
    ):
        if settled(finite(value, "The slack in mm")) < 0:
            return (finding(level, code, about, figures),)
    return ()


def _look_at(term: Term, what: str) -> None:
    length, plus, minus, sign = term
    not_negative(length, f"The nominal of {what}")
    not_negative(plus, f"The plus tolerance of {what}")
    not_negative(minus, f"The minus tolerance of {what}")
    if sign not in (1, -1):
        raise ValueError(f"The sign of {what} is +1 where it adds, -1 where it takes, not {sign}.")
