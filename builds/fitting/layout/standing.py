"""Each part where it stands, for the drawing: along the hilt, and above or below its axis."""

from collections.abc import Iterable, Sequence
from itertools import count

from builds.fitting.layout.along import IN_WALL, Group
from builds.fitting.layout.values import Cut, Item, Opening, Thing, Tube

LED_MM = 3.0  # what has no length is drawn so long


def things_of(
    tubes: Sequence[Tube], groups: Sequence[Group], cuts: Sequence[Cut], items: Sequence[Item]
) -> tuple[Thing, ...]:
    """Everything that stands in the hilt, numbered from the blade's end."""
    failing = {item.key for cut in cuts if not cut.fits for item in _to_blame(cut)}
    found: list[tuple[Item, float, float, float, float, str]] = []
    chassis: dict[int, tuple[float, float]] = {}
    for group in groups:
        if group.chassis:
            x0, x1 = chassis.get(group.chassis.key, (group.x0, group.x1))
            chassis[group.chassis.key] = (min(x0, group.x0), max(x1, group.x1))
        found += _standing(group, cuts)
    for item in items:
        if item.key in chassis:
            half = (item.diameter_mm or 0.0) / 2
            found.append((item, *chassis[item.key], -half, half, "chassis"))
    found += _in_walls(tubes, items)
    found.sort(key=lambda each: (each[1], each[5] != "chassis", each[0].key))
    numbers = count(1)
    return tuple(
        Thing(item, next(numbers), x0, x1, low, high, role, item.key not in failing)
        for item, x0, x1, low, high, role in found
    )


def _to_blame(cut: Cut) -> tuple[Item, ...]:
    """What is drawn as too much: what lies on the base, else the base itself."""
    return cut.combo.items[1:] or cut.combo.items


def _standing(
    group: Group, cuts: Sequence[Cut]
) -> list[tuple[Item, float, float, float, float, str]]:
    if group.base is group.chassis:
        return []
    own = [cut.combo for cut in cuts if not cut.reaches and group.base in cut.combo.items]
    heights = {
        circle.item.key: (circle.y - circle.diameter / 2, circle.y + circle.diameter / 2)
        for combo in sorted(own, key=lambda each: each.least_mm)
        for circle in combo.circles
    }
    flats = {
        flat.item.key: (flat.y - flat.height / 2, flat.y + flat.height / 2)
        for combo in own
        for flat in combo.flats
    }
    base = heights.get(group.base.key) or flats.get(group.base.key) or _alone(group.base)
    end = group.x0 + (group.base.long_mm or LED_MM)
    found = [(group.base, group.x0, end, *base, "base")]
    at = group.x0
    for chain in group.riders:
        top = base[1]
        for item in chain:
            tall = item.height_mm or item.diameter_mm or 0.0
            found.append((item, at, at + (item.long_mm or LED_MM), top, top + tall, "rider"))
            top += tall
        at += max(item.long_mm for item in chain)
    return found


def _alone(item: Item) -> tuple[float, float]:
    half = (item.diameter_mm or item.height_mm or 2.0) / 2
    return -half, half


def _in_walls(
    tubes: Iterable[Tube], items: Sequence[Item]
) -> list[tuple[Item, float, float, float, float, str]]:
    found = []
    for tube in tubes:
        for kind in IN_WALL:
            holes = [hole for hole in tube.given.openings if hole.what == kind]
            here = [item for item in items if item.section == tube.given.key and item.kind == kind]
            ordered = sorted(here, key=lambda item: (item.position, item.key))
            for place, item in enumerate(ordered):
                hole = holes[place] if place < len(holes) else None
                found.append(_in_wall(tube, item, hole, place, len(ordered)))
    return found


def _in_wall(
    tube: Tube, item: Item, hole: Opening | None, place: int, of: int
) -> tuple[Item, float, float, float, float, str]:
    """A switch or a port at its hole; without one, spread over the section."""
    if hole and hole.from_front:
        middle = tube.x0 + hole.from_front.mm
    else:
        middle = tube.x0 + (tube.x1 - tube.x0) * (place + 1) / (of + 1)
    half = (item.width_mm or 6.0) / 2
    deep, outer = tube.bore.mm / 2 - (item.height_mm or 0.0), tube.outer.mm / 2
    low, high = (-outer, -deep) if hole and hole.is_below else (deep, outer)
    return (item, middle - half, middle + half, low, high, "wall")
