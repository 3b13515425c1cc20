"""A hilt as a strip to scale: sections from the blade's end, their bores, what is only guessed."""

from collections.abc import Sequence
from dataclasses import dataclass

from builds.hilts.queries.shape import SectionShape, Shape
from builds.hilts.states import MeasuredThing

# Where nobody knows yet, something must be drawn: dotted, in the usual size. Common practice.
USUAL_LENGTH_MM, USUAL_OUTER_MM = 50.0, 36.0
MARGIN_MM = 9.0  # above, for the numbers


@dataclass(frozen=True)
class Drawn:
    """A section as rectangles in millimetres of the drawing."""

    number: int
    pk: int
    name: str
    x: float
    width: float
    top: float
    height: float
    bore_top: float
    bore_height: float
    is_guess: bool
    holds_blade: bool

    @property
    def middle(self) -> float:
        """Where its number stands."""
        return round(self.x + self.width / 2, 2)

    @property
    def bore_end(self) -> float:
        """The lower line of its bore."""
        return round(self.bore_top + self.bore_height, 2)

    @property
    def wall(self) -> float:
        """The height of one wall."""
        return round(self.bore_top - self.top, 2)


@dataclass(frozen=True)
class Strip:
    """The whole hilt, drawn."""

    sections: Sequence[Drawn]
    width: float
    height: float

    @property
    def middle(self) -> float:
        """The centre line."""
        return round(MARGIN_MM + (self.height - MARGIN_MM) / 2, 2)


def strip(shape: Shape) -> Strip:
    """The drawing of a shape; what is not known is drawn in the usual size and marked."""
    tallest = max([_outer(each) for each in shape.sections] or [USUAL_OUTER_MM])
    drawn, x = [], 0.0
    for number, each in enumerate(shape.sections, start=1):
        length = each.value(MeasuredThing.LENGTH) or USUAL_LENGTH_MM
        drawn.append(_drawn(each, number, round(x, 2), length, tallest))
        x += length
    return Strip(drawn, round(x, 2) or 1.0, round(tallest + MARGIN_MM, 2))


def _outer(each: SectionShape) -> float:
    return each.value(MeasuredThing.OUTER) or USUAL_OUTER_MM


def _drawn(each: SectionShape, number: int, x: float, length: float, tallest: float) -> Drawn:
    outer = _outer(each)
    bore = min(each.value(MeasuredThing.BORE) or 0.0, outer)
    top = MARGIN_MM + (tallest - outer) / 2
    known = [each.known.get(thing) for thing in (MeasuredThing.LENGTH, MeasuredThing.OUTER)]
    return Drawn(
        number=number,
        pk=each.section.pk,
        name=each.section.name,
        x=x,
        width=round(length, 2),
        top=round(top, 2),
        height=round(outer, 2),
        bore_top=round(top + (outer - bore) / 2, 2),
        bore_height=round(bore, 2),
        is_guess=any(one is None or not one.is_measured for one in known),
        holds_blade=each.section.holds_blade,
    )
