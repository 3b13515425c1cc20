"""Dimension lines: extension lines, arrowheads, the number above; in rows that do not collide."""

from collections.abc import Iterable
from dataclasses import dataclass

from builds.fitting.drawing.pen import HEAD, Mark, Words, arrow, figure, line, turned, wide, words

ROW = 30.0  # from one dimension line to the next
GAP = 3.0  # between the outline and its extension line
OVER = 6.0  # an extension line runs so far past the dimension line
SIZE = 15.0


@dataclass(frozen=True)
class Dimension:
    """A length to be dimensioned, from one place along the hilt to another, in units."""

    x0: float
    x1: float
    text: str
    of: str
    mm: float
    look: str = "f-num"
    edge: float = 1e9  # of the sheet: a number that would run over it goes to the left

    @property
    def is_left(self) -> bool:
        """Whether its number stands left of it."""
        out = 0 if self.arrows_inside else HEAD + 5
        return self.x1 + out + wide(self.text, SIZE, mono=True) + 8 > self.edge

    @property
    def fits_inside(self) -> bool:
        """Whether the number stands between its arrowheads."""
        return self.x1 - self.x0 >= wide(self.text, SIZE, mono=True) + 6

    @property
    def arrows_inside(self) -> bool:
        """Whether there is room for arrowheads between the extension lines."""
        return self.x1 - self.x0 >= 2 * HEAD + 4

    @property
    def takes(self) -> tuple[float, float]:
        """What it takes of its row."""
        if self.fits_inside:
            return self.x0, self.x1
        out = 0 if self.arrows_inside else HEAD + 5
        room = wide(self.text, SIZE, mono=True) + 8
        if self.is_left:
            return self.x0 - out - room, self.x1 + out
        return self.x0 - out, self.x1 + out + room


class Centred(Dimension):
    """One whose number stands over its middle, however short the line."""

    @property
    def fits_inside(self) -> bool:
        """It is drawn as if it did."""
        return True


def in_rows(dimensions: Iterable[Dimension]) -> list[list[Dimension]]:
    """Each in the first row that has room for it."""
    rows: list[list[Dimension]] = []
    for each in dimensions:
        for row in rows:
            if all(_apart(each, other) for other in row):
                row.append(each)
                break
        else:
            rows.append([each])
    return rows


def in_columns(dimensions: Iterable[Dimension]) -> list[list[Dimension]]:
    """Each in the first column in which nothing overlaps it; numbers stand beside the lines."""
    columns: list[list[Dimension]] = []
    for each in dimensions:
        for column in columns:
            if all(each.x1 <= other.x0 + 0.5 or other.x1 <= each.x0 + 0.5 for other in column):
                column.append(each)
                break
        else:
            columns.append([each])
    return columns


def _apart(one: Dimension, other: Dimension) -> bool:
    (a0, a1), (b0, b1) = one.takes, other.takes
    return a1 <= b0 + 0.5 or b1 <= a0 + 0.5


def flat(each: Dimension, y: float, top: float) -> list[Mark]:
    """A dimension line under the hilt, its extension lines from ``top`` down."""
    marks: list[Mark] = [line([(x, top + GAP), (x, y + OVER)], "f-ext") for x in (each.x0, each.x1)]
    out = 0.0 if each.arrows_inside else HEAD + 5
    start, end = each.x0 - out, each.x1 + out
    if not each.fits_inside:
        start, end = (each.takes[0] + 4, end) if each.is_left else (start, each.takes[1] - 4)
    marks.append(line([(start, y), (end, y)], "f-dim"))
    if each.arrows_inside:
        marks += [arrow((each.x0, y), (each.x1, y)), arrow((each.x1, y), (each.x0, y))]
    else:
        marks += [arrow((each.x0, y), (start, y)), arrow((each.x1, y), (end, y))]
    marks.append(_number(each, y))
    return marks


def _number(each: Dimension, y: float) -> Words:
    text, look, of, mm = each.text, each.look, each.of, each.mm
    if each.fits_inside:
        return figure((each.x0 + each.x1) / 2, y - 5, text, look, of, mm)
    out = 0 if each.arrows_inside else HEAD + 5
    if each.is_left:
        return figure(each.x0 - out - 4, y - 5, text, look, of, mm, "end")
    return figure(each.x1 + out + 4, y - 5, text, look, of, mm, "start")


def steep(each: Dimension, x: float, side: float, number_y: float) -> list[Mark]:
    """A dimension line beside an upright hilt, its number on its right."""
    marks: list[Mark] = [
        line([(side + GAP, y), (x + OVER, y)], "f-ext") for y in (each.x0, each.x1)
    ]
    if each.arrows_inside:
        marks.append(line([(x, each.x0), (x, each.x1)], "f-dim"))
        marks += [arrow((x, each.x0), (x, each.x1)), arrow((x, each.x1), (x, each.x0))]
    else:
        out = HEAD + 3
        marks.append(line([(x, each.x0 - out), (x, each.x1 + out)], "f-dim"))
        marks += [
            arrow((x, each.x0), (x, each.x0 - out)),
            arrow((x, each.x1), (x, each.x1 + out)),
        ]
    number, _space, what = each.text.partition(" ")
    marks.append(figure(x + 8, number_y + 5, number, each.look, each.of, each.mm, "start"))
    if what:
        marks.append(words(x + 8, number_y + 20, what, "f-note", "start"))
    return marks


def steep_along(each: Dimension, x: float, side: float) -> list[Mark]:
    """A dimension line left of an upright hilt, its number along it, to be read from the right."""
    marks: list[Mark] = [
        line([(side - GAP, y), (x - OVER, y)], "f-ext") for y in (each.x0, each.x1)
    ]
    marks.append(line([(x, each.x0), (x, each.x1)], "f-dim"))
    marks += [arrow((x, each.x0), (x, each.x1)), arrow((x, each.x1), (x, each.x0))]
    middle = (each.x0 + each.x1) / 2
    marks.append(turned(figure(x - 5, middle, each.text, each.look, each.of, each.mm)))
    return marks
