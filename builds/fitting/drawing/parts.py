"""The parts in the hilt as they stand lengthwise: outlines, and what is written in them."""

from collections.abc import Callable, Iterable

from builds.fitting.drawing.pen import Mark, Point, area, ring, wide, words
from builds.fitting.drawing.words import across_of, kind_of
from builds.fitting.layout import Thing

To = Callable[[float, float], Point]
BALLOON = 12.0


def outline(thing: Thing, to: To) -> list[Mark]:
    """The part itself; what does not fit is red and hatched close."""
    corners = [
        to(thing.x0, thing.high), to(thing.x1, thing.high),
        to(thing.x1, thing.low), to(thing.x0, thing.low),
    ]  # fmt: skip
    if thing.role == "chassis":
        return [area(corners, "f-chassis")]
    if not thing.fits:
        return [area(corners, "f-part-fill"), area(corners, "f-over", "url(#hatch-stop)")]
    return [area(corners, "f-part-fill"), area(corners, "f-part")]


def balloon(x: float, y: float, thing: Thing) -> list[Mark]:
    """The part's number in its circle, as in the table."""
    look = "f-balloon" if thing.fits else "f-balloon f-bad"
    return [ring(x, y, BALLOON, look), words(x, y + 5.4, str(thing.number), "f-item")]


def spot(thing: Thing) -> tuple[float, float]:
    """Where a leader ends, in mm along and across: in the part; of a chassis on its outline."""
    if thing.role == "chassis":
        return thing.x1 - (thing.x1 - thing.x0) * 0.06, thing.high
    return (thing.x0 + thing.x1) / 2, (thing.low + thing.high) / 2


def in_order(things: Iterable[Thing]) -> list[Thing]:
    """As their leaders stand side by side without crossing."""
    return sorted(things, key=spot)


def label(thing: Thing, width: float, height: float) -> str | None:
    """What can be written into it beside its number; None where not even the number goes in."""
    if height < 2 * BALLOON + 3 or width < 2 * BALLOON + 3 or not thing.fits:
        return None
    if thing.role == "chassis":
        return None
    for text in (f"{kind_of(thing.item)} {across_of(thing.item)}", kind_of(thing.item)):
        if wide(text) + 2 * BALLOON + 18 <= width:
            return text
    return ""


def inside(thing: Thing, text: str, x0: float, x1: float, y: float) -> list[Mark]:
    """Number and name within the outline, in its middle."""
    middle = (x0 + x1) / 2
    if not text:
        return balloon(middle, y, thing)
    start = middle - (wide(text) + 6) / 2
    return [*balloon(start, y, thing), words(start + BALLOON + 6, y + 5, text, "f-word", "start")]
