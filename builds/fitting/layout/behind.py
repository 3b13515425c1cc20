"""Putting what lies below a part in the wall behind it, where nothing is worse for it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor

from builds.engineering.findings import Level
from builds.fitting.layout.found import meetings
from builds.fitting.layout.judged import lay_out
from builds.fitting.layout.values import Item, Layout, Stretch, Thing

MEETS = "wall-part-meets"


@dataclass(frozen=True)
class Move:
    """A part that would lie clear of another if it began so far behind its section's front edge."""

    item: Item
    wall: Item
    starts_mm: float


def moves_of(
    layout: Layout, stretches: Sequence[Stretch], items: Sequence[Item], least_depth_mm: float
) -> list[Move]:
    """What can be put behind a part in the wall so that nothing is worse for it."""
    found = []
    for wall, below in meetings(layout.things):
        move = _move(layout, wall, below, items)
        if move and _helps(layout, _with(stretches, items, move, least_depth_mm)):
            found.append(move)
    return found


def _move(layout: Layout, wall: Thing, below: Thing, items: Sequence[Item]) -> Move | None:
    base, names = _base(below.item, items), {each.given.key: each for each in layout.tubes}
    tube = names.get(base.section or 0)
    if tube is None:
        return None
    # The next whole millimetre clear of it: what a rule on the bench can show.
    starts = float(max(floor(wall.x1 - tube.x0) + 1, 0))
    return Move(base, wall.item, starts)


def _base(item: Item, items: Sequence[Item]) -> Item:
    """What a part lies on in the end; that is what moves."""
    by_key, seen = {each.key: each for each in items}, {item.key}
    while item.lies_on in by_key and item.lies_on not in seen:
        item = by_key[item.lies_on]
        seen.add(item.key)
    return item


def _with(
    stretches: Sequence[Stretch], items: Sequence[Item], move: Move, least_depth_mm: float
) -> Layout:
    moved = [
        replace(each, starts_mm=move.starts_mm) if each.key == move.item.key else each
        for each in items
    ]
    return lay_out(stretches, moved, least_depth_mm)


def _helps(before: Layout, after: Layout) -> bool:
    meets = [sum(each.code == MEETS for each in one.findings) for one in (before, after)]
    others = [
        sum(each.level is not Level.KNOW and each.code != MEETS for each in one.findings)
        for one in (before, after)
    ]
    return meets[1] < meets[0] and others[1] <= others[0]
