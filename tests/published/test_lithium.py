"""Classing of lithium parcels, row by row as published.

Sources beside the rows: 49 CFR 173.185 (as amended through December 2022, P; 2024 changes 2nd);
USPS Publication 52 section 349 (P in part, 2nd); IMM 135.6 (P 2012, 2nd 2026); IATA Lithium
Battery Guidance 2026, PI 965/966/967 (2nd); ADR special provision 188 (P in translation).
"""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from builds.engineering import lithium
from builds.engineering.lithium import Cells, Parcel

ON = date(2026, 11, 25)
CELL = Cells("ion", "cell", 1, watt_hours=10.8, carried="installed")  # 3.6 V × 3.0 Ah, new
BASE = Parcel((CELL,), packages=1, gross_kg=1.0, used=False)
LOOSE: dict[str, Any] = {"carried": "loose", "count": 2}
PACKED: dict[str, Any] = {"carried": "packed-with", "needed": 1}


def _with(parcel: dict[str, Any] | None = None, **cells: Any) -> Parcel:
    return replace(BASE, items=(replace(CELL, **cells),), **(parcel or {}))


SMALL_BATTERY: dict[str, Any] = {"unit": "battery", "watt_hours": 7.4 * 2.6}
LARGE_BATTERY: dict[str, Any] = {"unit": "battery", "watt_hours": 14.8 * 21}

CASES = [
    # 49 CFR 173.185(c)
    ("us-ground", BASE, "UN3481", "173.185(c)", "none", True),
    ("us-ground", _with({"packages": 3}), "UN3481", "173.185(c)", "required", True),
    ("us-ground", _with(**PACKED), "UN3481", "173.185(c)", "required", True),
    ("us-ground", _with(**LOOSE), "UN3480", "173.185(c)", "required", True),
    ("us-ground", _with({"gross_kg": 30.0}, **LOOSE), "UN3480", "173.185(c)", "required", True),
    (
        "us-ground",
        _with({"gross_kg": 31.0}, **LOOSE),
        "UN3480",
        "173.185(c)(1)(vii)",
        "required",
        False,
    ),
    ("us-ground", _with(**SMALL_BATTERY), "UN3481", "173.185(c)", "none", True),
    ("us-ground", _with(**LARGE_BATTERY), "UN3481", "Class 9", None, False),
    # IATA 2026
    ("air", BASE, "UN3481", "PI 967 II", "none", True),
    ("air", _with(charge_percent=40, **PACKED), "UN3481", "PI 966 II", "required", False),
    ("air", _with(charge_percent=30, **PACKED), "UN3481", "PI 966 II", "required", True),
    # USPS Publication 52, 349
    ("usps-domestic-air", _with(count=9), "UN3481", "349", None, False),
    ("usps-domestic-surface", _with(count=9), "UN3481", "349", None, False),
    # IMM 135.6
    ("usps-abroad", BASE, "UN3481", "IMM 135.6", "forbidden", True),
    ("usps-abroad", _with(**PACKED), "UN3481", "IMM 135.6", None, False),
    # 49 CFR 173.185(f)
    ("air", replace(BASE, damaged=True), "UN3481", "173.185(f)", None, False),
    # ADR special provision 188
    ("adr-road", BASE, "UN3481", "SP 188", "none", True),
]  # fmt: skip


@pytest.mark.parametrize(("mode", "parcel", "un", "rule", "mark", "allowed"), CASES)
def test_case(
    mode: str, parcel: Parcel, un: str, rule: str, mark: str | None, allowed: bool
) -> None:
    classed = lithium.classify(parcel, mode, ON)
    assert (classed.un, classed.rule, classed.allowed) == (un, rule, allowed)
    assert mark in (None, classed.mark)


def test_loose_by_air_is_refused_here() -> None:
    """IATA PI 965 IB: cargo aircraft, declaration, trained shipper."""
    classed = lithium.classify(_with(**LOOSE), "air", ON)
    assert (classed.un, classed.rule, classed.verdict) == ("UN3480", "PI 965 IB", "refused-here")


def test_loose_by_us_ground_bears_the_passenger_aircraft_text() -> None:
    """49 CFR 173.185(c), P."""
    (text,) = lithium.classify(_with(**LOOSE), "us-ground", ON).texts
    assert "PASSENGER AIRCRAFT" in text


def test_above_thirty_percent_says_so() -> None:
    """IATA PI 966 II, from 2026-01-01 above 2.7 Wh (2nd)."""
    parcel = _with(charge_percent=40, **PACKED)
    classed = lithium.classify(parcel, "air", date(2026, 1, 1))
    assert "A charge of 40 % is above 30 %." in classed.reasons
    assert lithium.classify(parcel, "air", date(2025, 12, 31)).allowed


@pytest.mark.parametrize(
    ("millivolt", "milliamp_hour", "small"),
    [(3700, 5405, True), (3700, 5406, False), (3600, 3000, True)],
)
def test_twenty_watt_hours_a_cell(millivolt: int, milliamp_hour: int, small: bool) -> None:
    """F: 3.7 × 5.405 = 19.9985 is small, × 5.406 = 20.0022 is not; 3.6 × 3.0 = 10.80."""
    parcel = _with(watt_hours=millivolt * milliamp_hour / 1e6)
    assert lithium.classify(parcel, "air", ON).allowed is small
    assert lithium.classify(parcel, "adr-road", ON).allowed is small


def test_a_cell_under_two_point_seven_watt_hours_needs_no_charge() -> None:
    """F: 3.7 × 0.72 = 2.664."""
    assert lithium.classify(_with(watt_hours=3.7 * 0.72, **PACKED), "air", ON).allowed
    assert lithium.classify(_with(**PACKED), "air", ON).verdict == "missing-data"


def test_wider_limits_by_us_ground_bear_a_text_of_their_own() -> None:
    """49 CFR 173.185(c)(1), P: to 60 Wh a cell and 300 Wh a battery, road and rail only."""
    for cells in ({"watt_hours": 60}, {"unit": "battery", "watt_hours": 300}):
        classed = lithium.classify(_with(**cells), "us-ground", ON)
        assert classed.allowed
        assert any("AIRCRAFT AND VESSEL" in text for text in classed.texts)
        assert not lithium.classify(_with(**cells), "air", ON).allowed
    assert not lithium.classify(_with(watt_hours=60.1), "us-ground", ON).allowed


def test_used_equipment_by_usps() -> None:
    """USPS Publication 52, 349 (2nd): surface only, two texts, never abroad."""
    used = replace(BASE, used=True)
    surface = lithium.classify(used, "usps-domestic-surface", ON)
    assert surface.allowed
    assert surface.texts == ("Restricted Electronic Device", "Surface Transportation Only")
    assert lithium.classify(used, "usps-domestic-air", ON).verdict == "forbidden"
    assert lithium.classify(used, "usps-abroad", ON).verdict == "forbidden"


@pytest.mark.parametrize(
    ("mode", "kept"), [("usps-domestic-air", False), ("usps-domestic-surface", True)]
)
def test_loose_by_usps_goes_by_surface(mode: str, kept: bool) -> None:
    """USPS Publication 52, 349 (2nd): surface only, 5 lb = 2.268 kg."""
    assert lithium.classify(_with({"gross_kg": 2.26}, **LOOSE), mode, ON).allowed is kept
    assert not lithium.classify(_with({"gross_kg": 2.27}, **LOOSE), mode, ON).allowed


@pytest.mark.parametrize(
    ("sides", "divisor", "step", "weight"),
    [
        ((20, 15, 10), 139, 1, 22),  # in, lb: UPS and DHL pages (P)
        ((20, 15, 10), 166, 1, 19),  # in, lb (2nd)
        ((40, 30, 20), 5000, None, 4.8),  # cm, kg: DHL (P)
    ],
)
def test_dimensional_weight(
    sides: tuple[float, float, float], divisor: float, step: float | None, weight: float
) -> None:
    found = lithium.dimensional_weight(*sides, divisor, round_up_to=step)
    assert found == pytest.approx(weight)
