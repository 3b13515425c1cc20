"""The usual wires between the parts of a build, their lengths worked out from the hilt's measures.

What is proposed is a guess: from the middle of one section to the middle of the other. Gauges bear
what the build's own slots send through them; where nobody knows that, common practice, no source.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from django.utils.translation import gettext as _

from builds.fitting.loads import Judged
from builds.fitting.loads.bearing import carried_a, thinnest
from builds.fitting.models import BuildPart, Carries, WireRun
from builds.fitting.values import Wire
from builds.hilts.queries import Shape
from builds.hilts.states import MeasuredThing
from shop.stores.kinds import PartKind

STEP_MM = 10  # no guess is better than that
# What a run feeds → gauge, and how many lie side by side, where its current is not known. Common
# practice, no source.
_USUAL = {
    Carries.ALL: (22, 1),
    Carries.BLADE: (22, 1),
    Carries.SPEAKER: (28, 1),
    Carries.ACCENTS: (28, 1),
    Carries.CHARGE: (26, 1),
    Carries.SIGNAL: (30, 2),  # a switch: there and back
}
# From, to, what it carries; more than one part of a kind gets a run each.
_RUNS = (
    (PartKind.CELL, PartKind.BOARD, Carries.ALL),
    (PartKind.BOARD, PartKind.CONNECTOR, Carries.BLADE),
    (PartKind.BOARD, PartKind.SPEAKER, Carries.SPEAKER),
    (PartKind.BOARD, PartKind.SWITCH, Carries.SIGNAL),
    (PartKind.BOARD, PartKind.ACCENT, Carries.ACCENTS),
    (PartKind.BOARD, PartKind.LED, Carries.BLADE),
    (PartKind.PORT, PartKind.BOARD, Carries.CHARGE),
)


@dataclass(frozen=True)
class End:
    """Where a wire ends: what it is called, and the section that it lies in."""

    name: str
    section: int | None


@dataclass(frozen=True)
class Usual:
    """What can be proposed, and the parts whose section nobody has said or measured."""

    wires: tuple[Wire, ...]
    unplaced: tuple[str, ...]


def usual_runs(
    parts: Sequence[BuildPart], shape: Shape | None, listed: Iterable[WireRun], power: Judged
) -> Usual:
    """Wires for what is on the list and not wired yet."""
    there = {(run.starts, run.ends) for run in listed}
    middles = _middles(shape)
    wires, unplaced = [], []
    for start, end, carries in _pairs(parts):
        if (start.name, end.name) in there:
            continue
        lost = [each.name for each in (start, end) if each.section not in middles]
        if lost:
            unplaced += lost
        else:
            wires.append(_wire(start, end, carries, middles, power))
    return Usual(tuple(wires), tuple(dict.fromkeys(unplaced)))


def _pairs(parts: Sequence[BuildPart]) -> Iterator[tuple[End, End, Carries]]:
    for start, end, carries in _RUNS:
        first = next(iter(_ends(parts, start)), None)
        for other in _ends(parts, end):
            if first:
                yield first, other, carries


def _ends(parts: Sequence[BuildPart], kind: PartKind) -> list[End]:
    """The ends of a kind, one for each piece, numbered where there are several."""
    found = [part for part in parts if part.kind == kind for _piece in range(part.quantity)]
    name = str(_("blade connector") if kind == PartKind.CONNECTOR else kind.label)
    return [
        End(name if len(found) == 1 else f"{name} {place}", _section(part))
        for place, part in enumerate(found, start=1)
    ]


def _section(part: BuildPart) -> int | None:
    """Where a part sits: of one that lies on another, where that one sits."""
    if part.section_id is None and part.lies_on:
        return part.lies_on.section_id
    return part.section_id


def _middles(shape: Shape | None) -> dict[int, tuple[float, float]]:
    """Section id → its middle from the blade's end and its length, as far as lengths are known."""
    found: dict[int, tuple[float, float]] = {}
    start = 0.0
    for each in shape.sections if shape else ():
        length = each.value(MeasuredThing.LENGTH)
        if length is None:
            break  # where the next one begins, nobody knows
        found[each.section.pk] = (start + length / 2, length)
        start += length
    return found


def _gauge(power: Judged, carries: Carries) -> tuple[int, int]:
    """Gauge and how many side by side. What no wires bear is for the power page to say."""
    current = 0.0 if carries == Carries.SIGNAL else carried_a(power, carries)
    try:
        return thinnest(current) if current else _USUAL[carries]
    except ValueError:
        return _USUAL[carries]


def _wire(
    start: End, end: End, carries: Carries, middles: dict[int, tuple[float, float]], power: Judged
) -> Wire:
    gauge, parallel = _gauge(power, carries)
    (at, length), (to, _length) = middles[start.section or 0], middles[end.section or 0]
    apart = abs(at - to) or length / 2
    return Wire(
        starts=start.name,
        ends=end.name,
        carries=carries,
        gauge=gauge,
        length_mm=max(STEP_MM, ceil(apart / STEP_MM) * STEP_MM),
        parallel=parallel,
        is_guess=True,
    )
