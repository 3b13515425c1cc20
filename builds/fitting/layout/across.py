"""Across a bore: which parts stand side by side, and how they lie in the least circle."""

from collections.abc import Sequence
from dataclasses import replace

from builds.engineering.fit import bundle_mm, place
from builds.fitting.layout.values import Circle, Combo, Flat, Item


def combo_of(items: Sequence[Item], x0: float, x1: float) -> Combo | None:
    """A base and what lies on it, in the smallest circle; None where sizes are missing.

    Several boards one on the other count as one block, as wide as the widest. Round parts on
    round parts stand side by side: equal ones as a bundle, two of any size as d + D.
    """
    if not items or not all(item.is_sized for item in items):
        return None
    rounds = [item for item in items if item.diameter_mm]
    flats = [item for item in items if not item.diameter_mm]
    if flats and len(rounds) <= 1:
        return _pair(rounds, flats, x0, x1)
    if flats:
        return None
    if len(rounds) == 1:
        diameter = rounds[0].diameter_mm or 0.0
        return Combo(tuple(items), x0, x1, "round", diameter, (Circle(rounds[0], 0, 0, diameter),))
    return _bundle(rounds, x0, x1)


def _pair(rounds: Sequence[Item], flats: Sequence[Item], x0: float, x1: float) -> Combo:
    cell = rounds[0].diameter_mm or 0.0 if rounds else 0.0
    width = max(item.width_mm or 0.0 for item in flats)
    height = sum(item.height_mm or 0.0 for item in flats)
    placed = place(cell, width, height)
    circles = tuple(Circle(item, 0.0, placed.cell_y_mm, cell) for item in rounds)
    return Combo(
        (*rounds, *flats), x0, x1, "pair", placed.least_bore_mm, circles,
        tuple(_piled(flats, placed.board_y_mm - height / 2)),
    )  # fmt: skip


def _piled(flats: Sequence[Item], low: float) -> list[Flat]:
    piled = []
    for item in flats:
        height = item.height_mm or 0.0
        piled.append(Flat(item, low + height / 2, item.width_mm or 0.0, height))
        low += height
    return piled


def _bundle(rounds: Sequence[Item], x0: float, x1: float) -> Combo | None:
    sizes = [item.diameter_mm or 0.0 for item in rounds]
    if len(sizes) == 2:
        least = sum(sizes)
        first = least / 2 - sizes[0] / 2
        second = least / 2 - sizes[1] / 2
        circles = (
            Circle(rounds[0], 0.0, -first, sizes[0]),
            Circle(rounds[1], 0.0, second, sizes[1]),
        )
        return Combo(tuple(rounds), x0, x1, "bundle", least, circles)
    if len(set(sizes)) > 1 or len(sizes) > 4:
        return None
    return Combo(
        tuple(rounds), x0, x1, "bundle", bundle_mm(sizes[0], len(sizes)), _ring(rounds, sizes[0])
    )


# Where three or four equal circles stand round the middle, in radii of one of them.
_RINGS = {
    3: ((0.0, 1.1547005), (-1.0, -0.5773503), (1.0, -0.5773503)),
    4: ((-1.0, 1.0), (1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)),
}


def _ring(rounds: Sequence[Item], diameter: float) -> tuple[Circle, ...]:
    radius = diameter / 2
    return tuple(
        Circle(item, x * radius, y * radius, diameter)
        for item, (x, y) in zip(rounds, _RINGS[len(rounds)], strict=True)
    )


def swapped(combo: Combo, old: Item, new: Item) -> Combo | None:
    """The same combination with another part in the place of one of them."""
    items = [replace(new, key=old.key) if item.key == old.key else item for item in combo.items]
    return combo_of(items, combo.x0, combo.x1)
