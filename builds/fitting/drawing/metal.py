"""The hilt itself in section: walls with their hatching, the socket's step, holes, centre line."""

import itertools
from collections.abc import Callable, Sequence

from builds.fitting.drawing.pen import Mark, Point, area, line
from builds.fitting.layout import Layout, Tube

To = Callable[[float, float], Point]  # mm along and across → units
HATCHES = ("url(#hatch-a)", "url(#hatch-b)")  # neighbours lean to different sides


def walls(layout: Layout, to: To) -> list[Mark]:
    """Both walls of every section, and the faces between them."""
    marks: list[Mark] = []
    for place, tube in enumerate(layout.tubes):
        hatch = HATCHES[place % 2]
        steps = _steps(tube)
        for side in (1, -1):
            for run in _runs(steps, _holes(tube, side)):
                marks += _wall(tube, run, hatch, to, side)
        marks += _holes_drawn(tube, to)
    return marks


def _steps(tube: Tube) -> list[tuple[float, float, float]]:
    """From, to, inner radius: the socket first, where the blade goes in."""
    given = tube.given
    if not (given.holds_blade and given.socket_depth and given.socket_bore):
        return [(tube.x0, tube.x1, tube.bore.mm / 2)]
    end = min(tube.x0 + given.socket_depth.mm, tube.x1)
    steps = [(tube.x0, end, given.socket_bore.mm / 2)]
    return steps if end >= tube.x1 else [*steps, (end, tube.x1, tube.bore.mm / 2)]


def _holes(tube: Tube, side: int) -> list[tuple[float, float]]:
    found = []
    for hole in tube.given.openings:
        if hole.from_front and hole.diameter and hole.is_below == (side < 0):
            middle = tube.x0 + hole.from_front.mm
            found.append((middle - hole.diameter.mm / 2, middle + hole.diameter.mm / 2))
    return sorted(
        (max(a, tube.x0), min(b, tube.x1)) for a, b in found if b > tube.x0 and a < tube.x1
    )


def _runs(
    steps: Sequence[tuple[float, float, float]], holes: Sequence[tuple[float, float]]
) -> list[list[tuple[float, float, float]]]:
    """The upper wall, cut where holes go through it."""
    runs: list[list[tuple[float, float, float]]] = [[]]
    edges = sorted({x for a, b, _r in steps for x in (a, b)} | {x for hole in holes for x in hole})
    for a, b in itertools.pairwise(edges):
        middle = (a + b) / 2
        if any(low < middle < high for low, high in holes):
            runs.append([])
            continue
        radius = next(r for low, high, r in steps if low <= middle <= high)
        runs[-1].append((a, b, radius))
    return [run for run in runs if run]


def _wall(
    tube: Tube, run: Sequence[tuple[float, float, float]], hatch: str, to: To, side: int
) -> list[Mark]:
    outer = tube.outer.mm / 2
    first, last = run[0][0], run[-1][1]
    inner = [(x, r) for a, b, r in run for x in (a, b)]
    outline = [to(first, side * outer), to(last, side * outer)]
    back = [to(x, side * r) for x, r in reversed(inner)]
    known = "f-metal"
    return [
        area([*outline, *back], "f-cut", hatch),
        line(outline, known if tube.outer.is_sure else "f-metal f-guess"),
        line(back, known if tube.bore.is_sure else "f-metal f-guess"),
        line([outline[0], back[-1]], known),
        line([outline[1], back[0]], known),
    ]


def _holes_drawn(tube: Tube, to: To) -> list[Mark]:
    marks: list[Mark] = []
    outer = tube.outer.mm / 2
    for side in (1, -1):
        for a, b in _holes(tube, side):
            ends = [side * (outer + 2.5), side * (tube.bore.mm / 2 - 2.5)]
            marks.append(line([to((a + b) / 2, end) for end in ends], "f-axis"))
    return marks


def axis(layout: Layout, to: To) -> Mark:
    """The centre line, past both ends."""
    return line([to(-6, 0), to(layout.length + 6, 0)], "f-axis")


def blade(layout: Layout, to: To, stub: float) -> list[Mark]:
    """The blade in its socket, broken off in front of the hilt."""
    given = layout.blade
    if given is None:
        return []
    half = (given.item.diameter_mm or 0.0) / 2
    start = -stub
    top, foot = [to(start, half), to(given.end, half)], [to(given.end, -half), to(start, -half)]
    return [
        area([*top, *foot], "f-blade-fill"),
        line([*top, *foot], "f-blade"),
        line(_break(start, half, to), "f-break"),
    ]


def _break(x: float, half: float, to: To) -> list[Point]:
    """The zigzag of a part that goes on, drawn thin."""
    over = 1.6
    return [
        to(x, half + over), to(x, half * 0.36), to(x - 1.4, half * 0.2), to(x + 1.4, -half * 0.2),
        to(x, -half * 0.36), to(x, -half - over),
    ]  # fmt: skip
