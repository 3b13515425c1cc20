"""Draws a hilt as a turner would see it on the drawing: from the side, apart, and from its end."""

from math import asin, cos, pi, sin, sqrt

from builds.demo.pen import BLUE, INK, PLATE, SCRIBE, Pen, shade
from builds.demo.shapes import Section, Shape

_BANDS = 26


def _light(across: float) -> float:
    """How light a cylinder is at a height; -1 is its upper edge, 1 its lower."""
    lit = cos((asin(max(-1, min(1, across))) + 0.55) * 1.05)
    return 0.50 + 0.50 * lit + 0.34 * max(0.0, lit) ** 14


def hilt(
    pen: Pen, shape: Shape, x: float, y: float, scale: float, *, back: bool, gap: float = 0
) -> list[tuple[float, float]]:
    """The whole hilt from a left end, its centre line at a height; where each section lies."""
    places = []
    for part in shape.sections:
        end = x + part.length * scale
        _section(pen, part, x, y, scale)
        if part.cut == "switches":
            _fittings(pen, shape, x, end, y, scale, back)
        places.append((x, end))
        x = end + gap
    return places


def _section(pen: Pen, part: Section, x: float, y: float, scale: float) -> None:
    end, r0, r1 = x + part.length * scale, part.start * scale / 2, part.end * scale / 2
    for n in range(_BANDS):
        low, high = -1 + 2 * n / _BANDS, -1 + 2 * (n + 1) / _BANDS
        colour = shade(part.metal, _light((low + high) / 2))
        pen.area(
            [(x, y + low * r0), (end, y + low * r1), (end, y + high * r1), (x, y + high * r0)],
            colour,
        )
    cut = _CUTS.get(part.cut)
    if cut:
        cut(pen, part, x, end, y, scale)
    edge = [(x, y - r0), (end, y - r1), (end, y + r1), (x, y + r0)]
    pen.line([*edge, edge[0], edge[1]], INK, 2.5)


def _radius(part: Section, x0: float, x1: float, x: float, scale: float) -> float:
    share = (x - x0) / (x1 - x0)
    return (part.start + (part.end - part.start) * share) * scale / 2


def _groove(pen: Pen, part: Section, x: float, y: float, radius: float, wide: float) -> None:
    for n in range(_BANDS):
        low, high = -1 + 2 * n / _BANDS, -1 + 2 * (n + 1) / _BANDS
        colour = shade(part.metal, _light((low + high) / 2) * 0.52)
        pen.rect((x, y + low * radius, x + wide, y + high * radius), colour)


def _ribs(pen: Pen, part: Section, x0: float, x1: float, y: float, scale: float) -> None:
    count = max(3, round(part.length / 8))
    step = (x1 - x0) / count
    for n in range(count):
        x = x0 + step * (n + 0.5) - step * 0.16
        radius = _radius(part, x0, x1, x, scale)
        _groove(pen, part, x, y, radius, step * 0.32)
        for side in (x, x + step * 0.32):
            pen.line([(side, y - radius), (side, y + radius)], INK, 1)


def _rings(pen: Pen, part: Section, x0: float, x1: float, y: float, scale: float) -> None:
    for share in (0.22, 0.42, 0.62):
        x = x0 + (x1 - x0) * share
        radius = _radius(part, x0, x1, x, scale)
        _groove(pen, part, x, y, radius, 9)
        for side in (x, x + 9):
            pen.line([(side, y - radius), (side, y + radius)], INK, 1)


def _knurl(pen: Pen, part: Section, x0: float, x1: float, y: float, scale: float) -> None:
    edge = 14.0
    radius = min(part.start, part.end) * scale / 2
    rows = 10
    heights = [radius * -cos(pi * n / rows) for n in range(rows + 1)]
    step = 15.0
    count = int((x1 - x0 - 2 * edge) / step)
    left = (x0 + x1 - count * step) / 2
    dark, bright = shade(part.metal, 0.42), shade(part.metal, 1.25)
    for n in range(count):
        for row in range(rows):
            a, b = left + n * step, left + (n + 1) * step
            top, low = y + heights[row], y + heights[row + 1]
            pen.line([(a, top), (b, low)], dark, 1.6)
            pen.line([(a, low), (b, top)], dark, 1.6)
            if 1 < row < 6:
                pen.line([(a + step / 2 - 2, top + 1), (a + step / 2 + 2, top + 1)], bright, 1)
    for x in (left, left + count * step):
        pen.line([(x, y - radius), (x, y + radius)], INK, 1.2)


def _flutes(pen: Pen, part: Section, x0: float, x1: float, y: float, scale: float) -> None:
    inset = (x1 - x0) * 0.06
    for n in range(1, 8):
        turn = -pi / 2 + pi * n / 8
        radius = min(part.start, part.end) * scale / 2
        middle, half = y + radius * sin(turn), 5.5 * cos(turn) + 0.8
        pen.rect((x0 + inset, middle - half, x1 - inset, middle + half), shade(part.metal, 0.45))
        pen.line(
            [(x0 + inset, middle + half), (x1 - inset, middle + half)], shade(part.metal, 1.3), 1.5
        )


def _wrap(pen: Pen, part: Section, x0: float, x1: float, y: float, scale: float) -> None:
    radius = part.start * scale / 2
    step, lean = 46.0, 30.0
    count = int((x1 - x0) / step)
    left = x0 + ((x1 - x0) - count * step) / 2
    for n in range(count + 1):
        x = left + n * step
        points = []
        for m in range(13):
            across = -cos(pi * m / 12)
            at = min(x1, max(x0, x + lean * across * 0.5))
            points.append((at, y + radius * across))
        pen.line(points, shade(part.metal, 0.38), 4)
        pen.line([(min(x1, a + 4), b) for a, b in points], shade(part.metal, 1.22), 1.5)


def _slots(pen: Pen, part: Section, x0: float, x1: float, y: float, scale: float) -> None:
    length = x1 - x0
    radius = min(part.start, part.end) * scale / 2
    for turn, wide in ((-0.62, 9.0), (0.0, 13.0), (0.62, 9.0)):
        middle = y + radius * turn
        a, b = x0 + length * 0.24, x0 + length * 0.72
        pen.rect((a, middle - wide, b, middle + wide), "#26323D")
        for end in (a, b):
            pen.circle((end, middle), wide, "#26323D")
        pen.line([(a, middle + wide), (b, middle + wide)], shade(part.metal, 1.4), 1.5)


_CUTS = {
    "ribs": _ribs, "rings": _rings, "knurl": _knurl, "flutes": _flutes, "wrap": _wrap,
    "slots": _slots,
}  # fmt: skip


def _fittings(
    pen: Pen, shape: Shape, x0: float, x1: float, y: float, scale: float, back: bool
) -> None:
    length = x1 - x0
    if back:  # the charging port and a set screw
        pen.circle((x0 + length * 0.62, y), 4.6 * scale, "#26323D", INK, 2)
        pen.circle((x0 + length * 0.62, y), 2.2 * scale, SCRIBE, INK, 1.5)
        pen.circle((x0 + length * 0.2, y), 2.2 * scale, "#26323D", INK, 1.5)
        pen.circle((x0 + length * 0.2, y), 1.0 * scale, SCRIBE)
        return
    spots = (0.5,) if shape.switches == 1 else (0.34, 0.68)
    for n, share in enumerate(spots):
        at = (x0 + length * share, y)
        pen.circle(at, 5.4 * scale, "#C69A4B" if n == 0 else "#A9B4BD", INK, 2)
        pen.circle(at, 3.7 * scale, "#26323D", INK, 1.5)
        pen.circle((at[0] - scale, at[1] - scale), 0.8 * scale, PLATE)


def end_view(pen: Pen, shape: Shape, at: tuple[float, float], scale: float) -> tuple[float, float]:
    """The emitter from its end, the metal hatched; the radii of metal and bore on the sheet."""
    outer, bore = shape.sections[0].start * scale / 2, shape.bore * scale / 2
    metal = shape.sections[0].metal
    pen.circle(at, outer, shade(metal, 1.45), INK, 4)
    pen.hatched_ring(at, outer - 3)
    depth = 9
    for n in range(depth):
        share = 1 - n / depth
        radius = bore * (0.52 + 0.48 * share)
        pen.circle(at, radius, shade(metal, 0.88 - 0.072 * n), shade(metal, 0.3), 1.5)
    pen.circle(at, bore * 0.52, "#1A232C", INK, 2)
    for turn in (-1, 1):  # two wires that come out of the dark
        x = at[0] + turn * bore * 0.16
        ends = [(x, at[1] + bore * 0.1), (x + turn * 14, at[1] + bore * 0.3),
                (x + turn * 10, at[1] + bore * 0.44)]  # fmt: skip
        pen.line(ends, "#9B231A" if turn < 0 else BLUE, 7)
    pen.circle(at, bore, None, INK, 3)
    pen.circle(at, outer, None, INK, 4)
    reach = sqrt(2) * outer * 0.82
    pen.dashes((at[0] - reach, at[1]), (at[0] + reach, at[1]))
    pen.dashes((at[0], at[1] - reach), (at[0], at[1] + reach))
    return outer, bore
