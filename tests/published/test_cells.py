"""Cells against IEC 61960's grammar as quoted, trade names, data sheets and closed forms."""

import pytest

from builds.engineering import cells
from builds.engineering.cells import Body, Chemistry, Shape, System


@pytest.mark.parametrize(
    ("name", "diameter_mm", "length_mm", "chemistry"),
    [
        pytest.param("ICR19/66", 19, 66, Chemistry.COBALT, id="IEC 61960 5.1, as quoted"),
        pytest.param("INR19/66", 19, 66, Chemistry.NICKEL, id="IEC 61960 5.1, the same rule"),
        pytest.param("18650", 18, 65.0, None, id="batteries18650.com, 18650"),
        pytest.param("21700", 21, 70.0, None, id="batteries18650.com, 21700"),
        pytest.param("14500", 14, 50.0, None, id="batteries18650.com, 14500"),
        pytest.param("18350", 18, 35.0, None, id="batteries18650.com, 18350"),
    ],
)
def test_names_of_round_cells(
    name: str, diameter_mm: float, length_mm: float, chemistry: Chemistry | None
) -> None:
    found = cells.decode(name)
    assert (found.shape, found.diameter_mm, found.length_mm) == (
        Shape.ROUND, diameter_mm, length_mm,
    )  # fmt: skip
    assert (found.chemistry, found.series, found.parallel) == (chemistry, 1, 1)
    assert found.system == (System.ION if chemistry else None)


def test_name_of_a_pack() -> None:
    # A pack's published label: 4ICR19/66-2, 14.4 V, 5200 mAh, 74.88 Wh.
    found = cells.decode("4ICR19/66-2")
    assert (found.series, found.parallel, found.count) == (4, 2, 8)
    assert (found.diameter_mm, found.length_mm) == (19, 66)
    assert cells.energy_wh(14_400, 5200) == 74.88


def test_old_name_of_a_prismatic_cell() -> None:
    found = cells.decode("ICP103450")  # large-battery.com
    assert found.shape is Shape.PRISMATIC
    assert (found.thickness_mm, found.width_mm, found.length_mm) == (10, 34, 50)
    assert found.diameter_mm is None


@pytest.mark.parametrize(
    ("diameter_mm", "length_mm", "sizes"),
    [(18.4, 65.2, "19/66"), (21.25, 70.62, "22/71")],  # IEC 61960 5.1, as quoted
)
def test_greatest_sizes_are_rounded_up(diameter_mm: float, length_mm: float, sizes: str) -> None:
    assert cells.encode(diameter_mm, length_mm) == sizes
    named = cells.encode(diameter_mm, length_mm, Chemistry.COBALT)
    assert named == f"ICR{sizes}"


@pytest.mark.parametrize(
    ("size", "body", "diameter_mm", "length_mm"),
    [  # chosen from published maxima, no standard
        ("18650", Body.BARE, 18.6, 65.5),
        ("18650", Body.PROTECTED, 19.1, 70.0),
        ("21700", Body.BARE, 21.9, 71.2),
        ("18350", Body.BARE, 18.6, 36.0),
        ("14500", Body.BARE, 14.5, 50.5),
    ],
)
def test_room_to_leave(size: str, body: Body, diameter_mm: float, length_mm: float) -> None:
    found = cells.envelope(size, body)
    assert (found.diameter_mm, found.length_mm) == (diameter_mm, length_mm)
    assert found.source == "chosen from published maxima, no standard"


@pytest.mark.parametrize(("c", "ma"), [(0.2, 520), (1, 2600)])  # machineu.com, 18650 table
def test_currents_by_c_rate(c: float, ma: float) -> None:
    assert cells.rate_ma(2600, c) == pytest.approx(ma, rel=1e-9)


@pytest.mark.parametrize(
    ("current_ma", "usable", "hours"),
    [(3000, 1.0, 50.00 / 60), (3000, 0.8, 40.00 / 60), (132, 1.0, 18.94)],  # closed form
)
def test_runtime_on_2500_mah(current_ma: float, usable: float, hours: float) -> None:
    assert cells.runtime_h(2500, current_ma, usable) == pytest.approx(hours, rel=2e-4)


@pytest.mark.parametrize(
    ("millivolt", "milliamp_hour", "watt_hours"),
    [
        pytest.param(3600, 4000, 14.4, id="INR21700 datasheet copy"),
        pytest.param(14_400, 5200, 74.88, id="a pack's published label"),
        pytest.param(3600, 3000, 10.8, id="closed form"),
        pytest.param(3700, 5405, 19.9985, id="closed form, just small"),
        pytest.param(3700, 5406, 20.0022, id="closed form, just not"),
        pytest.param(3700, 720, 2.664, id="closed form, under 2.7"),
    ],
)
def test_energy_is_exact(millivolt: int, milliamp_hour: int, watt_hours: float) -> None:
    assert cells.energy_wh(millivolt, milliamp_hour) == watt_hours


@pytest.mark.parametrize(
    ("lost_a_month", "days"),
    [(0.0, 104.17), (0.02, 97.49)],  # closed form
)
def test_idle_days_of_2500_mah_at_1_ma(lost_a_month: float, days: float) -> None:
    assert cells.idle_days(2500, 1, lost_a_month) == pytest.approx(days, abs=0.005)


@pytest.mark.parametrize(
    ("idle_ma", "days"),
    [(10, 12.5), (6, 20.83), (2.5, 50), (1, 125)],  # closed form, 3000 mAh
)
def test_idle_days_of_3000_mah(idle_ma: float, days: float) -> None:
    assert cells.idle_days(3000, idle_ma) == pytest.approx(days, abs=0.005)


def test_published_self_discharge() -> None:
    # Battery University, self-discharge.
    assert cells.LOST_IN_FIRST_DAY == 0.05
    assert cells.LOST_PER_MONTH == (0.01, 0.02)
    assert cells.LOST_PER_MONTH_TO_PROTECTION == 0.03
