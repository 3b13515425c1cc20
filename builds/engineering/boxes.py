"""Into which box things go, padded on every side: by full search where few, by rows where many.

Everything lies along the longest side of the box. Things of one lane lie end to end; lanes lie
beside one another on a shelf, shelves above one another. A hilt or a blade is taken for a bar as
wide and as high as its diameter; goods may be turned about the axis that they lie along. Padding
stands against each wall and between any two things: so each thing counts as longer, wider and
higher by one padding, and the box as smaller by one.

Source: plain geometry; the way of laying is common practice, no source. It may miss a packing
that interlocks, and never claims one that is none.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import accumulate

from builds.engineering.given import NOISE, not_negative, positive

SEARCHED = 6  # so many things are laid in every way there is; more are laid in rows


@dataclass(frozen=True)
class Bar:
    """A hilt or a blade: a length and its largest diameter."""

    length_mm: float
    diameter_mm: float


@dataclass(frozen=True)
class Block:
    """Goods with three sides, in any order."""

    length_mm: float
    width_mm: float
    height_mm: float


Thing = Bar | Block


@dataclass(frozen=True)
class Box:
    """The inside of a box, its sides in any order; ``key`` is what the caller knows it by."""

    length_mm: float
    width_mm: float
    height_mm: float
    key: int | str = field(default=0, compare=False)


class Lack(StrEnum):
    """Why a box does not take things."""

    TOO_SHORT = "too-short"  # one of them is longer than the box
    TOO_NARROW = "too-narrow"  # one of them is thicker
    TOO_SMALL = "too-small"  # each goes in, all together do not


@dataclass(frozen=True)
class Why:
    """Why a box does not take things: what one wants and what there is, padding counted in."""

    code: Lack
    thing: int | None = None  # its place among the things
    needs_mm: float = 0.0
    has_mm: float = 0.0


@dataclass(frozen=True)
class _Size:
    """Sides as they are compared: along the box, across it, upwards."""

    length: float
    width: float
    height: float

    @property
    def volume(self) -> float:
        return self.length * self.width * self.height


@dataclass(frozen=True)
class _Lane:
    """Things end to end: how long they are together, and the widest and the highest of them."""

    length: float
    width: float
    height: float
    shelf: int


def fits(things: Sequence[Thing], box: Box, clearance_mm: float) -> bool:
    """Whether a box takes all things with a clearance on each side of each.

    Few things (6 at most) are laid in every way there is. More are laid in rows, the highest
    first, which may miss a way; what it finds never turns to "no" in a larger box or with one
    thing less.

    :raises ValueError: where there is nothing to pack, a side is not above 0, or the clearance
        is negative.
    """
    return why_not(things, box, clearance_mm) is None


def why_not(things: Sequence[Thing], box: Box, clearance_mm: float) -> Why | None:
    """Why a box does not take all things; None where it does. See :func:`fits`.

    :raises ValueError: as :func:`fits`.
    """
    sizes = _sizes(things, clearance_mm)
    room = _room(box, clearance_mm)
    for place, size in enumerate(sizes):
        found = _alone(place, size, room, clearance_mm)
        if found:
            return found
    if sum(size.volume for size in sizes) > room.volume * (1 + NOISE):
        return Why(Lack.TOO_SMALL)
    return None if _goes(sizes, room) else Why(Lack.TOO_SMALL)


def smallest(things: Sequence[Thing], boxes: Iterable[Box], clearance_mm: float) -> Box | None:
    """The box of least volume that takes all things; None where none does. See :func:`fits`.

    Of two as large the one with the shorter longest side, then the one named first.

    :raises ValueError: as :func:`fits`.
    """
    for box in in_order(boxes):
        if fits(things, box, clearance_mm):
            return box
    return None


def in_order(boxes: Iterable[Box]) -> list[Box]:
    """Boxes from the smallest to the largest, by volume inside, then by the longest side.

    :raises ValueError: where a side is not above 0.
    """
    return sorted(boxes, key=lambda box: (_room(box, 0).volume, _room(box, 0).length))


def _sizes(things: Sequence[Thing], clearance_mm: float) -> list[_Size]:
    pad = not_negative(clearance_mm, "The clearance in mm")
    if not things:
        raise ValueError("Say what shall go into the box.")
    found = []
    for thing in things:
        sides = _sides(thing)
        found.append(_Size(*(side + pad for side in sides)))
    return found


def _sides(thing: Thing) -> list[float]:
    """Length along the box, then the two sides across it, the longer one first."""
    if isinstance(thing, Bar):
        across = positive(thing.diameter_mm, "The diameter of a thing in mm")
        return [positive(thing.length_mm, "The length of a thing in mm"), across, across]
    sides = (thing.length_mm, thing.width_mm, thing.height_mm)
    return sorted((positive(side, "A side of a thing in mm") for side in sides), reverse=True)


def _room(box: Box, clearance_mm: float) -> _Size:
    sides = (box.length_mm, box.width_mm, box.height_mm)
    whole = sorted((positive(side, "A side of a box in mm") for side in sides), reverse=True)
    return _Size(*(max(side - clearance_mm, 0.0) for side in whole))


def _alone(place: int, size: _Size, room: _Size, pad: float) -> Why | None:
    """Why one thing does not go in even by itself; figures are of the things, without padding."""
    if _over(size.length, room.length):
        return Why(Lack.TOO_SHORT, place, size.length + pad, room.length + pad)
    for has, needs in ((room.height, size.height), (room.width, size.width)):
        if _over(needs, has):
            return Why(Lack.TOO_NARROW, place, needs + pad, has + pad)
    return None


def _over(needs: float, has: float) -> bool:
    return needs > has + NOISE * max(needs, has, 1.0)


def _goes(sizes: Sequence[_Size], room: _Size) -> bool:
    # Shelves one above another along either of the two short sides.
    ways = (room, _Size(room.length, room.height, room.width))
    if len(sizes) > SEARCHED:
        return any(_in_rows(sizes, way) for way in ways)
    ordered = sorted(sizes, key=lambda size: (-size.volume, -size.length))
    return any(_laid(ordered, [], way) for way in ways)


def _laid(left: Sequence[_Size], lanes: list[_Lane], room: _Size) -> bool:
    """Whether what is left goes in beside what is laid: every thing on every lane and shelf."""
    if not left:
        return True
    return any(
        _holds(laid, room) and _laid(left[1:], laid, room)
        for size in dict.fromkeys((left[0], _turned(left[0])))
        for laid in _placed(size, lanes, room)
    )


def _turned(size: _Size) -> _Size:
    return _Size(size.length, size.height, size.width)


def _placed(size: _Size, lanes: list[_Lane], room: _Size) -> Iterator[list[_Lane]]:
    """Each way to lay one thing: behind those of a lane, on a shelf, on a new shelf."""
    for place, lane in enumerate(lanes):
        if not _over(lane.length + size.length, room.length):
            yield [*lanes[:place], _longer(lane, size), *lanes[place + 1 :]]
    shelves = len({lane.shelf for lane in lanes})
    for shelf in range(shelves + 1):
        yield [*lanes, _Lane(size.length, size.width, size.height, shelf)]


def _longer(lane: _Lane, size: _Size) -> _Lane:
    return _Lane(
        lane.length + size.length,
        max(lane.width, size.width),
        max(lane.height, size.height),
        lane.shelf,
    )


def _holds(lanes: Sequence[_Lane], room: _Size) -> bool:
    widths: dict[int, float] = {}
    heights: dict[int, float] = {}
    for lane in lanes:
        widths[lane.shelf] = widths.get(lane.shelf, 0.0) + lane.width
        heights[lane.shelf] = max(heights.get(lane.shelf, 0.0), lane.height)
    too_wide = _over(max(widths.values()), room.width)
    return not too_wide and not _over(sum(heights.values()), room.height)


def _in_rows(sizes: Sequence[_Size], room: _Size) -> bool:
    lying = sorted(sizes, key=_highest_first)
    standing = sorted(map(_turned, sizes), key=_highest_first)
    return _rows_go(lying, room) or _rows_go(standing, room)


def _highest_first(size: _Size) -> tuple[float, float]:
    return (-size.height, -size.width)


def _rows_go(ordered: Sequence[_Size], room: _Size) -> bool:
    """Whether things go in, each behind the one before, else beside it, else on a new shelf.

    A lane counts as wide as the widest thing from its first one on, even where that lies
    elsewhere. So lanes only get smaller: with more room or one thing less every lane and every
    shelf begins at the same thing or a later one, and "fits" never turns to "no".
    """
    widest = _widest_from(ordered)
    used = along = across = 0.0
    for place, size in enumerate(ordered):
        if place and not _over(along + size.length, room.length):
            along += size.length
            continue
        along = size.length
        if place and not _over(across + widest[place], room.width):
            across += widest[place]
            continue
        if _over(widest[place], room.width):
            return False
        across, used = widest[place], used + size.height
    return not _over(used, room.height)


def _widest_from(ordered: Sequence[_Size]) -> list[float]:
    return list(accumulate((size.width for size in reversed(ordered)), max))[::-1]
