"""How cells last, and how their names are read."""

from math import inf
from random import Random

import pytest

from builds.engineering import cells
from builds.engineering.cells import Chemistry, Shape

CASES = 1000


def test_more_current_never_lengthens_runtime() -> None:
    random = Random(7)
    for _ in range(CASES):
        capacity, usable = random.uniform(100, 6000), random.uniform(0, 1)
        less = random.uniform(0, 20_000)
        more = less + random.uniform(0, 100)
        assert cells.runtime_h(capacity, more, usable) <= cells.runtime_h(capacity, less, usable)
        assert cells.idle_days(capacity, more, 0.02) <= cells.idle_days(capacity, less, 0.02)


def test_self_discharge_never_lengthens_idle_days() -> None:
    random = Random(8)
    for _ in range(CASES):
        capacity, idle, lost = random.uniform(100, 6000), random.uniform(0, 10), random.random()
        assert cells.idle_days(capacity, idle, lost) <= cells.idle_days(capacity, idle)


def test_without_current_there_is_no_end() -> None:
    assert cells.runtime_h(2500, 0) == inf
    assert cells.idle_days(2500, 0) == inf
    assert cells.idle_days(2500, 0, 0.05) == pytest.approx(20 * 730 / 24)


@pytest.mark.parametrize(
    ("typed", "same"),
    [
        ("icr19/66", "ICR19/66"), (" ICR 19/66 ", "ICR19/66"), ("1ICR19/66-1", "ICR19/66"),
        ("ICPt9/35/48", "ICPT9/35/48"),
    ],
)  # fmt: skip
def test_name_as_hands_write_it(typed: str, same: str) -> None:
    assert cells.decode(typed) == cells.decode(same)


@pytest.mark.parametrize(
    ("name", "diameter_mm", "length_mm", "chemistry"),
    [
        ("INR18650", 18, 65.0, Chemistry.NICKEL),
        ("IFR14500", 14, 50.0, Chemistry.IRON_PHOSPHATE),
        ("10440", 10, 44.0, None),
        ("19/66", 19, 66, None),
    ],
)
def test_names_between_the_grammars(
    name: str, diameter_mm: float, length_mm: float, chemistry: Chemistry | None
) -> None:
    found = cells.decode(name)
    assert (found.diameter_mm, found.length_mm, found.chemistry) == (
        diameter_mm, length_mm, chemistry,
    )  # fmt: skip


def test_thin_prismatic_cell_in_tenths() -> None:
    found = cells.decode("2ICPt9/35/48-3")
    assert found.shape is Shape.PRISMATIC
    assert (found.thickness_mm, found.width_mm, found.length_mm) == (0.9, 35, 48)
    assert (found.series, found.parallel) == (2, 3)


def test_whole_sizes_stay_as_they_are() -> None:
    assert cells.encode(18, 65) == "18/65"
    assert cells.encode(0.1 * 3 * 60, 65) == "18/65"  # 18.000000000000004


def test_cell_fits_into_its_own_greatest_size() -> None:
    for (size, _), room in cells.ENVELOPES.items():
        named = cells.decode(size)
        assert named.diameter_mm is not None
        assert room.diameter_mm >= named.diameter_mm
        assert room.length_mm >= named.length_mm
