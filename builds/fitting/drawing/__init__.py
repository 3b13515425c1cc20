"""The fit as a technical drawing: pure, from a layout to strokes and words for an SVG."""

from builds.fitting.drawing.across import Across
from builds.fitting.drawing.lengthwise import Lying
from builds.fitting.drawing.pen import Sheet, Stroke, Words
from builds.fitting.drawing.reading import lengths_in, shown, unit
from builds.fitting.drawing.upright import Upright
from builds.fitting.layout import Cut, Layout

__all__ = [
    "Sheet",
    "Stroke",
    "Words",
    "across",
    "lengths_in",
    "lengthwise",
    "shown",
    "unit",
    "upright",
]


def lengthwise(layout: Layout) -> Sheet | None:
    """The hilt lying; None where no section is written down."""
    return Lying(layout).drawn() if layout.tubes else None


def across(layout: Layout, cut: Cut, name: str, key: str = "") -> Sheet:
    """A section across, with the parts in it.

    :param key: what its numbers go by, where it is not the section: a part that would fit.
    """
    return Across(layout, cut, name, key or str(cut.tube.given.key)).drawn()


def upright(layout: Layout) -> Sheet | None:
    """The hilt standing, for a phone; None where no section is written down."""
    return Upright(layout).drawn() if layout.tubes else None
