"""No parcel is allowed that breaks a single limit: written from the rules in brief, not from code.

The limits stand here anew, with their sources: 49 CFR 173.185(c) (P); USPS Publication 52, 349
(P in part, 2nd); IMM 135.6 (P 2012, 2nd 2026); IATA PI 965, 966, 967 of 2026 (2nd); ADR SP 188 (P).
Thousands of parcels are drawn by chance from seeds, with figures at each limit and just over it.
"""

from collections import Counter
from collections.abc import Iterator
from datetime import date
from random import Random
from typing import Any, TypeVar

import pytest

from builds.engineering import lithium
from builds.engineering.lithium import Carried, Cells, Chemistry, Mode, Parcel, Unit

IN_2026 = date(2026, 1, 1)
DAYS = (date(2025, 12, 31), IN_2026, date(2026, 11, 25))
POUND_KG = 0.45359237
ENERGY_WH = (
    0.5,
    2.664,
    2.7,
    2.71,
    10.8,
    19.9985,
    20.0,
    20.0022,
    21,
    60,
    60.1,
    99.9,
    100,
    100.1,
    300,
    301,
)
LITHIUM_G = (0.1, 0.5, 1.0, 1.01, 1.5, 2.0, 2.01, 5)
COUNTS = (1, 1, 1, 2, 2, 3, 4, 5, 8, 9, 20)
GROSS_KG = (None, 0.4, 1.0, 2.26, 2.27, 4.9, 5.0, 5.01, 29.9, 30.0, 30.01, 31)
NET_KG = (None, None, 0.05, 0.3, 4.9, 5.0, 5.01)
CHARGES = (None, 0, 20, 30, 30.01, 31, 40, 60, 100)
PACKAGES = (1, 1, 1, 2, 2, 3, 5)
Value = TypeVar("Value")
EACH = 4_000  # parcels a way


def draw(chance: Random) -> Parcel:
    """A parcel of one to three kinds of cells; most of what is asked is known."""
    items = tuple(cells(chance) for _ in range(chance.choice((1, 1, 1, 2, 3))))
    gross, net = chance.choice(GROSS_KG), chance.choice(NET_KG)
    if gross is not None and net is not None and net > gross:
        net = None
    return Parcel(
        items,
        packages=chance.choice(PACKAGES),
        gross_kg=gross,
        used=chance.choice((True, False, False, None)),
        damaged=chance.choice((False,) * 9 + (True, None)),
        net_kg=net,
    )


def cells(chance: Random) -> Cells:
    """Like cells; now and then something of them is not known."""
    return Cells(
        chemistry=seldom_none(chance, (Chemistry.ION, Chemistry.ION, Chemistry.METAL)),
        unit=seldom_none(chance, (Unit.CELL, Unit.CELL, Unit.BATTERY, Unit.BUTTON)),
        count=seldom_none(chance, COUNTS),
        watt_hours=seldom_none(chance, ENERGY_WH),
        lithium_g=seldom_none(chance, LITHIUM_G),
        carried=seldom_none(
            chance, (Carried.INSTALLED, Carried.INSTALLED, Carried.PACKED_WITH, Carried.LOOSE)
        ),
        needed=seldom_none(chance, (0, 1, 1, 2, 4)),
        charge_percent=chance.choice(CHARGES),
        test_summary=chance.choice((True,) * 12 + (False, None)),
        charger_only=chance.random() < 0.05,
    )


def seldom_none(chance: Random, choices: tuple[Value, ...]) -> Value | None:
    """One of some choices, or not known."""
    return None if chance.random() < 0.02 else chance.choice(choices)


def is_loose(item: Cells) -> bool:
    """A cell with only its charger is loose."""
    return item.charger_only or item.carried == "loose"


def counted(parcel: Parcel) -> tuple[int, int]:
    """Cells and batteries in a package."""
    found: Counter[bool] = Counter()
    for item in parcel.items:
        found[item.unit == "battery"] += item.count or 0
    return found[False], found[True]


def broken(parcel: Parcel, mode: str, on: date) -> Iterator[str]:
    """Every limit of the table that a parcel breaks, or of which it cannot be told."""
    for item in parcel.items:
        yield from unknown(item)
        yield from too_large(item, mode)
        if mode == "air":
            yield from by_air(item, on)
    if parcel.damaged is not False:
        yield "damaged, or not looked at"
    if mode == "air" and too_many_spares(parcel):
        yield "spares by air"
    yield from by_weight(parcel, mode)
    yield from by_post(parcel, mode)


def unknown(item: Cells) -> Iterator[str]:
    """Where data are missing, it is refused."""
    if None in (item.chemistry, item.unit, item.count, item.carried) and not item.charger_only:
        yield "not known what it is, how many, or how carried"
    if None in (item.chemistry, item.unit, item.count):
        yield "not known what it is or how many"
    if not item.test_summary:
        yield "no UN 38.3 test summary"


def too_large(item: Cells, mode: str) -> Iterator[str]:
    """20 Wh a cell, 100 Wh a battery; metal 1 g and 2 g; on US roads ion to 60 and 300 Wh."""
    is_battery = item.unit == "battery"
    if item.chemistry == "metal":
        if item.lithium_g is None or item.lithium_g > (2 if is_battery else 1):
            yield "grams of lithium"
        return
    usual, on_us_roads = (100, 300) if is_battery else (20, 60)
    most = on_us_roads if mode == "us-ground" else usual
    if item.watt_hours is None or item.watt_hours > most:
        yield "watt-hours"


def by_air(item: Cells, on: date) -> Iterator[str]:
    """Loose is refused; beside it, needed and two spare, and above 2.7 Wh no more than 30 %."""
    if is_loose(item):
        yield "loose by air"
    elif item.carried == "packed-with":
        above = item.chemistry != "metal" and not (item.watt_hours and item.watt_hours <= 2.7)
        if on >= IN_2026 and above and (item.charge_percent is None or item.charge_percent > 30):
            yield "charge by air"


def too_many_spares(parcel: Parcel) -> bool:
    """The cells needed and two spare: in the whole package, the strictest of the readings."""
    beside = [item for item in parcel.items if item.carried == "packed-with" and not is_loose(item)]
    known = all(item.needed is not None and item.count is not None for item in beside)
    spare = sum((item.count or 0) - (item.needed or 0) for item in beside)
    return not known or spare > 2


def by_weight(parcel: Parcel, mode: str) -> Iterator[str]:
    """Loose by road 30 kg gross, by post 5 lb; by air 5 kg of cells."""
    loose = any(is_loose(item) for item in parcel.items)
    most = {"us-ground": 30.0, "adr-road": 30.0, "usps-domestic-surface": 5 * POUND_KG}.get(mode)
    if loose and most and (parcel.gross_kg is None or parcel.gross_kg > most):
        yield "gross weight, loose"
    if mode == "air":
        net = parcel.gross_kg if parcel.net_kg is None else parcel.net_kg
        if net is None or net > 5:
            yield "net weight by air"


def by_post(parcel: Parcel, mode: str) -> Iterator[str]:
    """At home 8 cells or 2 batteries; loose, used or repaired by surface; abroad installed, new."""
    singles, packs = counted(parcel)
    loose = any(is_loose(item) for item in parcel.items)
    if mode.startswith("usps-domestic"):
        if singles > 8 or packs > 2 or (singles and packs and singles / 8 + packs / 2 > 1):
            yield "8 cells or 2 batteries"
        if parcel.used is None and not all(is_loose(item) for item in parcel.items):
            yield "used or not?"
    if mode == "usps-domestic-air":
        if loose:
            yield "loose by air post"
        if parcel.used and not all(is_loose(item) for item in parcel.items):
            yield "used by air post"
    if mode == "usps-abroad":
        if singles > 4 or packs > 2 or (singles and packs and singles / 4 + packs / 2 > 1):
            yield "4 cells or 2 batteries abroad"
        if any(is_loose(item) or item.carried != "installed" for item in parcel.items):
            yield "not installed abroad"
        if parcel.used is not False:
            yield "used abroad"
        if parcel.packages > 2:
            yield "needs a mark that may not be outside"


def wants_mark(parcel: Parcel) -> bool:
    """Unless installed and (button cells alone, or ≤ 4 cells / ≤ 2 batteries and ≤ 2 packages)."""
    if any(is_loose(item) or item.carried != "installed" for item in parcel.items):
        return True
    if all(item.unit == "button" for item in parcel.items):
        return False
    singles, packs = counted(parcel)
    return singles > 4 or packs > 2 or parcel.packages > 2


def drawn(mode: str) -> Iterator[tuple[Parcel, date]]:
    """Parcels of one way, the same each time."""
    chance = Random(f"parcels {mode}")
    for _ in range(EACH):
        yield draw(chance), chance.choice(DAYS)


@pytest.mark.parametrize("mode", list(Mode))
def test_never_allowed_where_one_limit_is_broken(mode: str) -> None:
    allowed = 0
    for parcel, on in drawn(mode):
        classed = lithium.classify(parcel, mode, on)
        if classed.allowed:
            allowed += 1
            assert list(broken(parcel, mode, on)) == [], (parcel, on)
    assert allowed > 20  # the parcels are not all hopeless


@pytest.mark.parametrize("mode", list(Mode))
def test_nothing_is_refused_that_breaks_no_limit(mode: str) -> None:
    for parcel, on in drawn(mode):
        if not list(broken(parcel, mode, on)):
            classed = lithium.classify(parcel, mode, on)
            assert classed.allowed, (parcel, on, classed.reasons)


@pytest.mark.parametrize("mode", list(Mode))
def test_mark_and_texts_stand_wherever_the_table_asks(mode: str) -> None:
    for parcel, on in drawn(mode):
        classed = lithium.classify(parcel, mode, on)
        if not classed.allowed:
            continue
        if mode == "usps-abroad":
            assert classed.mark == "forbidden"
        elif wants_mark(parcel):
            assert classed.mark == "required", parcel
        texts = " ".join(classed.texts)
        if mode == "us-ground" and any(is_loose(item) for item in parcel.items):
            assert "PASSENGER AIRCRAFT" in texts
        if mode == "usps-domestic-surface" and parcel.used:
            apart = all(is_loose(item) for item in parcel.items)
            assert apart or "Surface Transportation Only" in texts
        if mode == "us-ground" and any(is_wider(item) for item in parcel.items):
            assert "AIRCRAFT AND VESSEL" in texts


def is_wider(item: Cells) -> bool:
    """Ion over the usual limit, which US roads alone take."""
    most = 100 if item.unit == "battery" else 20
    return item.chemistry == "ion" and bool(item.watt_hours and item.watt_hours > most)


# One limit at a time: what is exactly at it passes, what is just over it does not.
A_PACK: dict[str, Any] = {"unit": "battery"}
METAL: dict[str, Any] = {"chemistry": "metal"}
LOOSE: dict[str, Any] = {"carried": "loose"}
BESIDE: dict[str, Any] = {"carried": "packed-with"}
AT: dict[str, Any] = {
    "chemistry": "ion",
    "unit": "cell",
    "count": 1,
    "watt_hours": 10.8,
    "needed": 1,
}
EDGES = [
    ("adr-road", {"watt_hours": 20}, {}, {"watt_hours": 20.001}, {}),
    ("adr-road", {**A_PACK, "watt_hours": 100}, {}, {**A_PACK, "watt_hours": 100.01}, {}),
    ("us-ground", {"watt_hours": 60}, {}, {"watt_hours": 60.01}, {}),
    ("us-ground", {**A_PACK, "watt_hours": 300}, {}, {**A_PACK, "watt_hours": 300.1}, {}),
    ("air", {**METAL, "lithium_g": 1}, {}, {**METAL, "lithium_g": 1.001}, {}),
    ("us-ground", LOOSE, {"gross_kg": 30}, LOOSE, {"gross_kg": 30.001}),
    ("adr-road", LOOSE, {"gross_kg": 30}, LOOSE, {"gross_kg": 30.001}),
    ("air", {}, {"net_kg": 5, "gross_kg": 9}, {}, {"net_kg": 5.001, "gross_kg": 9}),
    (
        "air", {**BESIDE, "charge_percent": 30}, {},
        {**BESIDE, "charge_percent": 30.01}, {},
    ),
    (
        "air", {**BESIDE, "watt_hours": 2.7}, {},
        {**BESIDE, "watt_hours": 2.701}, {},
    ),
    (
        "air", {**BESIDE, "charge_percent": 9, "count": 3}, {},
        {**BESIDE, "charge_percent": 9, "count": 4}, {},
    ),
    ("usps-domestic-air", {"count": 8}, {}, {"count": 9}, {}),
    ("usps-domestic-air", {**A_PACK, "count": 2}, {}, {**A_PACK, "count": 3}, {}),
    (
        "usps-domestic-surface", LOOSE, {"gross_kg": 5 * POUND_KG},
        LOOSE, {"gross_kg": 5 * POUND_KG + 0.001},
    ),
    ("usps-abroad", {"count": 4}, {}, {"count": 5}, {}),
    ("usps-abroad", {}, {"packages": 2}, {}, {"packages": 3}),
]  # fmt: skip


@pytest.mark.parametrize(("mode", "at", "parcel_at", "over", "parcel_over"), EDGES)
def test_exactly_at_a_limit_passes_and_just_over_it_does_not(
    mode: str,
    at: dict[str, Any],
    parcel_at: dict[str, Any],
    over: dict[str, Any],
    parcel_over: dict[str, Any],
) -> None:
    for cells_of, parcel_of, passes in ((at, parcel_at, True), (over, parcel_over, False)):
        item = Cells(**{**AT, "carried": "installed", **cells_of})
        parcel = Parcel((item,), **{"gross_kg": 1.0, "used": False, **parcel_of})
        assert lithium.classify(parcel, mode, IN_2026).allowed is passes
