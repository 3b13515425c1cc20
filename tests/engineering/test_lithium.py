"""Classing of lithium: what it refuses, what is never allowed, what must hold for any parcel."""

import copy
import pickle
import random
from collections.abc import Callable
from dataclasses import asdict, replace
from datetime import date
from itertools import product
from math import inf, nan
from typing import Any

import pytest

from builds.engineering import lithium
from builds.engineering.lithium import Cells, Classed, Mode, Parcel
from builds.engineering.lithium.sentences import TEMPLATES

ON = date(2026, 11, 25)
MODES = list(Mode)
ROADS = (Mode.US_GROUND, Mode.ADR_ROAD)
CARRIED = ("installed", "packed-with", "loose")
CHEMISTRIES = ("ion", "metal")
UNITS = ("cell", "battery", "button")
CASES = 2_000
WRONG = (0, -1, nan, inf)


@pytest.mark.parametrize("wrong", [-1, 0.5, nan, inf])
def test_what_the_equipment_wants_is_whole_and_may_be_none(wrong: float) -> None:
    assert _cells(needed=0).needed == 0
    with pytest.raises(ValueError, match="that the equipment runs on"):
        _cells(needed=wrong)


def _cells(**changes: Any) -> Cells:
    known: dict[str, Any] = {
        "chemistry": "ion", "unit": "cell", "count": 1, "watt_hours": 10.8, "lithium_g": 0.8,
        "carried": "installed", "needed": 1, "charge_percent": 30, "test_summary": True,
    }  # fmt: skip
    return Cells(**(known | changes))


def _parcel(**changes: Any) -> Parcel:
    known = {"packages": 1, "gross_kg": 1.0, "used": False, "damaged": False}
    whole = {name: changes.pop(name, value) for name, value in known.items()}
    return Parcel((_cells(**changes),), **whole)


@pytest.mark.parametrize(
    ("sentence", "call"),
    [
        ("“chemistry” must be one of ion, metal, none", lambda: _cells(chemistry="lead")),
        ("“unit” must be one of", lambda: _cells(unit="pack")),
        ("“carried” must be one of", lambda: _cells(carried="taped on")),
        ("Say what is in the parcel", lambda: Parcel(())),
        ("weigh more than the package", lambda: Parcel((_cells(),), gross_kg=1, net_kg=2)),
        ("The weight of the cells", lambda: Parcel((_cells(),), net_kg=-1)),
        ("The weight of the cells", lambda: Parcel((_cells(),), net_kg=nan)),
        ("The charge must lie", lambda: _cells(charge_percent=-1)),
        ("The charge must lie", lambda: _cells(charge_percent=101)),
        ("The charge must lie", lambda: _cells(charge_percent=nan)),
        ("number of cells", lambda: _cells(count=1.5)),
        ("way of travelling must be one of", lambda: lithium.classify(_parcel(), "pigeon", ON)),
    ],
)
def test_refusals(sentence: str, call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=sentence):
        call()


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.parametrize(
    ("sentence", "call"),
    [
        ("The number of cells must", lambda x: _cells(count=x)),
        ("The watt-hours of each", lambda x: _cells(watt_hours=x)),
        ("The grams of lithium", lambda x: _cells(lithium_g=x)),
        ("The number of packages", lambda x: _parcel(packages=x)),
        ("The gross weight", lambda x: _parcel(gross_kg=x)),
        ("The length of the parcel", lambda x: lithium.dimensional_weight(x, 1, 1, 139)),
        ("The width of the parcel", lambda x: lithium.dimensional_weight(1, x, 1, 139)),
        ("The height of the parcel", lambda x: lithium.dimensional_weight(1, 1, x, 139)),
        ("The divisor", lambda x: lithium.dimensional_weight(1, 1, 1, x)),
        ("rounded up to", lambda x: lithium.dimensional_weight(1, 1, 1, 139, round_up_to=x)),
    ],
)
def test_impossible_numbers_are_refused(
    sentence: str, call: Callable[[float], object], wrong: float
) -> None:
    with pytest.raises(ValueError, match=sentence):
        call(wrong)


def _missing(classed: Classed) -> set[str]:
    return {said.code for said in classed.reasons if said.code.startswith("missing-")}


@pytest.mark.parametrize("name", ["chemistry", "unit", "count", "carried", "test_summary"])
@pytest.mark.parametrize(
    ("mode", "carried", "chemistry"), list(product(MODES, CARRIED, CHEMISTRIES))
)
def test_what_every_way_needs_is_missed(
    mode: Mode, carried: str, chemistry: str, name: str
) -> None:
    known = {"carried": carried, "chemistry": chemistry}
    classed = lithium.classify(_parcel(**(known | {name: None})), mode, ON)
    assert not classed.allowed
    assert f"missing-{name.removesuffix('_summary')}" in _missing(classed)


@pytest.mark.parametrize(
    ("mode", "carried", "chemistry"), list(product(MODES, CARRIED, CHEMISTRIES))
)
def test_nothing_is_allowed_with_its_energy_missing(
    mode: Mode, carried: str, chemistry: str
) -> None:
    name, code = {
        "ion": ("watt_hours", "missing-watt-hours"),
        "metal": ("lithium_g", "missing-lithium"),
    }[chemistry]
    known = {"carried": carried, "chemistry": chemistry}
    classed = lithium.classify(_parcel(**known, **{name: None}), mode, ON)
    assert not classed.allowed
    assert code in _missing(classed)


@pytest.mark.parametrize(
    ("mode", "carried", "chemistry"), list(product(MODES, CARRIED, CHEMISTRIES))
)
def test_nothing_damaged_is_allowed(mode: Mode, carried: str, chemistry: str) -> None:
    known = {"carried": carried, "chemistry": chemistry}
    damaged = lithium.classify(_parcel(damaged=True, **known), mode, ON)
    assert damaged.verdict == ("refused-here" if mode in ROADS else "forbidden")
    unknown = lithium.classify(_parcel(damaged=None, **known), mode, ON)
    assert not unknown.allowed
    assert "missing-damaged" in _missing(unknown)


@pytest.mark.parametrize(
    ("mode", "carried", "name", "code"),
    [
        (Mode.US_GROUND, "loose", "gross_kg", "missing-gross"),
        (Mode.ADR_ROAD, "loose", "gross_kg", "missing-gross"),
        (Mode.USPS_DOMESTIC_SURFACE, "loose", "gross_kg", "missing-gross"),
        (Mode.AIR, "installed", "gross_kg", "missing-gross"),
        (Mode.AIR, "packed-with", "gross_kg", "missing-gross"),
        (Mode.AIR, "packed-with", "needed", "missing-needed"),
        (Mode.AIR, "packed-with", "charge_percent", "missing-charge"),
        (Mode.USPS_DOMESTIC_AIR, "installed", "used", "missing-used"),
        (Mode.USPS_DOMESTIC_SURFACE, "packed-with", "used", "missing-used"),
        (Mode.USPS_ABROAD, "installed", "used", "missing-used"),
    ],
)
def test_what_one_way_needs_is_named(mode: Mode, carried: str, name: str, code: str) -> None:
    assert lithium.classify(_parcel(carried=carried), mode, ON).allowed
    classed = lithium.classify(_parcel(carried=carried, **{name: None}), mode, ON)
    assert classed.verdict == "missing-data"
    assert _missing(classed) == {code}


def test_a_heavy_package_by_air_has_its_cells_weighed() -> None:
    heavy = replace(_parcel(), gross_kg=6.0)
    assert _missing(lithium.classify(heavy, "air", ON)) == {"missing-net"}
    assert lithium.classify(replace(heavy, net_kg=5.0), "air", ON).allowed
    assert lithium.classify(replace(heavy, net_kg=5.1), "air", ON).verdict == "forbidden"


def test_what_is_forbidden_anyway_still_says_what_is_missing() -> None:
    classed = lithium.classify(
        _parcel(carried="packed-with", charge_percent=40, needed=None), "air", ON
    )
    assert classed.verdict == "forbidden"
    assert [said.code for said in classed.reasons[:2]] == ["air-charged", "missing-needed"]


@pytest.mark.parametrize(
    ("changes", "mark"),
    [
        ({"count": 4}, "none"),
        ({"count": 5}, "required"),
        ({"packages": 2}, "none"),
        ({"packages": 3}, "required"),
        ({"unit": "battery", "count": 2}, "none"),
        ({"unit": "battery", "count": 3}, "required"),
        ({"unit": "button", "count": 40, "packages": 9}, "none"),
        ({"unit": "button", "carried": "packed-with"}, "required"),
        ({"carried": "loose"}, "required"),
    ],
)
def test_mark(changes: dict[str, Any], mark: str) -> None:
    for mode in ROADS:
        assert lithium.classify(_parcel(**changes), mode, ON).mark == mark


def test_cells_and_batteries_share_the_room_without_a_mark() -> None:
    one_battery = _cells(unit="battery")
    parcel = replace(_parcel(), items=(_cells(count=2), one_battery))
    assert lithium.classify(parcel, "us-ground", ON).mark == "none"
    parcel = replace(_parcel(), items=(_cells(count=3), one_battery))
    assert lithium.classify(parcel, "us-ground", ON).mark == "required"


def test_a_cell_with_only_its_charger_is_loose() -> None:
    with_charger = _parcel(carried="packed-with", charger_only=True)
    assert lithium.classify(with_charger, "us-ground", ON).un == "UN3480"
    assert lithium.classify(with_charger, "air", ON).verdict == "refused-here"


def test_mixed_parcels_name_every_number() -> None:
    parcel = replace(_parcel(), items=(_cells(), _cells(chemistry="metal", carried="loose")))
    classed = lithium.classify(parcel, "us-ground", ON)
    assert classed.un == "UN3481, UN3090"
    assert "METAL" in classed.texts[0]
    assert lithium.classify(parcel, "air", ON).rule == "PI 968 IB"


def test_spares_by_air_are_those_needed_and_two() -> None:
    packed = {"carried": "packed-with", "needed": 1}
    assert lithium.classify(_parcel(count=3, **packed), "air", ON).allowed
    assert lithium.classify(_parcel(count=4, **packed), "air", ON).verdict == "forbidden"


def test_abroad_more_than_two_packages_would_need_a_mark_that_may_not_be() -> None:
    assert lithium.classify(_parcel(packages=2), "usps-abroad", ON).allowed
    assert lithium.classify(_parcel(packages=3), "usps-abroad", ON).verdict == "forbidden"


@pytest.mark.parametrize("mode", MODES)
def test_a_parcel_without_lithium_is_not_bound_by_these_rules(mode: Mode) -> None:
    parcel = Parcel((Cells("none"),))
    classed = lithium.classify(parcel, mode, ON)
    assert (classed.allowed, classed.un, classed.mark) == (True, "", "none")
    damaged = lithium.classify(replace(parcel, damaged=True), mode, ON)
    assert damaged.allowed == (mode in ROADS)


def test_cautions_go_with_the_day() -> None:
    marked = _parcel(carried="packed-with")

    def codes(on: date) -> set[str]:
        return {said.code for said in lithium.classify(marked, "us-ground", on).cautions}

    assert {"aid", "terminals", "old-mark"} <= codes(date(2026, 12, 31))
    assert "old-mark-over" in codes(date(2027, 1, 1))
    assert "table-old" not in codes(date(2027, 1, 1))
    assert "table-old" in codes(date(2027, 12, 1))


def test_limits_shown_are_those_that_were_looked_at() -> None:
    loose = lithium.classify(_parcel(carried="loose"), "us-ground", ON)
    codes = {limit.code for limit in loose.limits}
    assert {"ion-cell-wh", "road-ion-cell-wh", "loose-gross-kg", "mark-side-mm"} <= codes
    assert "metal-cell-g" not in codes
    abroad = lithium.classify(_parcel(), "usps-abroad", ON)
    assert "abroad-cells" in {limit.code for limit in abroad.limits}


def test_every_limit_names_its_source_and_its_edition() -> None:
    for limit in lithium.LIMITS.values():
        assert limit.source
        assert limit.edition
        assert limit.checked_on == lithium.CHECKED_ON


def _any_parcel(dice: random.Random) -> Parcel:
    def maybe(value: Any) -> Any:
        return None if dice.random() < 0.04 else value

    def cells() -> Cells:
        return Cells(
            maybe(dice.choice(CHEMISTRIES)),
            maybe(dice.choice(UNITS)),
            maybe(dice.randint(1, 10)),
            maybe(dice.choice([2.0, 10.8, 20, 21, 60, 100, 101, 300, 301])),
            maybe(dice.choice([0.1, 1, 1.1, 2, 2.1])),
            maybe(dice.choice(CARRIED)),
            maybe(dice.randint(1, 3)),
            maybe(dice.uniform(0, 100)),
            maybe(True),
            dice.random() < 0.1,
        )

    return Parcel(
        tuple(cells() for _ in range(dice.choice([1, 1, 2]))),
        dice.randint(1, 4),
        maybe(dice.uniform(0.1, 40)),
        maybe(dice.random() < 0.5),
        maybe(dice.random() < 0.1),
    )


# What every parcel that is allowed keeps to, written a second time; none lacks a number.


def _small(item: Any, cell_wh: float, battery_wh: float) -> bool:
    battery = item.unit == "battery"
    if item.chemistry == "metal":
        return bool(item.lithium_g <= (2 if battery else 1))
    return bool(item.watt_hours <= (battery_wh if battery else cell_wh))


def _flies(item: Any) -> bool:
    if item.carried == "installed":
        return True
    charged = item.chemistry == "ion" and item.watt_hours > 2.7 and item.charge_percent > 30
    return item.count <= item.needed + 2 and not charged


def _must_hold(parcel: Any, mode: Mode) -> bool:
    ways = {"loose" if item.charger_only else item.carried for item in parcel.items}
    wide = (60, 300) if mode is Mode.US_GROUND else (20, 100)
    if not all(_small(item, *wide) for item in parcel.items):
        return False
    if mode in ROADS:
        return "loose" not in ways or parcel.gross_kg <= 30
    if mode is Mode.AIR:
        flies = all(_flies(item) for item in parcel.items)
        return "loose" not in ways and parcel.gross_kg <= 5 and flies
    batteries = sum(item.count for item in parcel.items if item.unit == "battery")
    cells = sum(item.count for item in parcel.items if item.unit != "battery")
    few = batteries <= 2 and cells <= (4 if mode is Mode.USPS_ABROAD else 8)
    if mode is Mode.USPS_DOMESTIC_SURFACE:
        return few and ("loose" not in ways or parcel.gross_kg <= 5 * 0.4536)
    flown = {"installed"} if mode is Mode.USPS_ABROAD else {"installed", "packed-with"}
    return few and ways <= flown and not parcel.used


@pytest.mark.parametrize("mode", MODES)
def test_whatever_is_allowed_keeps_to_the_rules(mode: Mode) -> None:
    dice = random.Random(20261125)
    allowed = 0
    for _ in range(CASES):
        parcel = _any_parcel(dice)
        classed = lithium.classify(parcel, mode, ON)
        assert classed.reasons or classed.verdict != "allowed"
        if classed.allowed:
            allowed += 1
            assert parcel.damaged is False
            assert not _missing(classed)
            assert _must_hold(parcel, mode)
    assert allowed > 5


def test_every_sentence_can_be_said_in_another_tongue_and_none_is_dead() -> None:
    dice = random.Random(1)
    said = set()
    for _ in range(CASES):
        for mode in MODES:
            on = dice.choice([date(2025, 6, 1), ON, date(2028, 1, 1)])
            parcel = _any_parcel(dice)
            if dice.random() < 0.3:
                parcel = replace(parcel, net_kg=(parcel.gross_kg or 9.0) * 0.9)
            if dice.random() < 0.05:
                parcel = replace(parcel, items=(Cells("none"),))
            classed = lithium.classify(parcel, mode, on)
            for sentence in (*classed.reasons, *classed.cautions):
                assert sentence.template % sentence.figures == sentence
                said.add(sentence.code)
    assert said == set(TEMPLATES)


def test_a_classing_can_be_copied() -> None:
    classed = lithium.classify(_parcel(), "air", ON)
    assert copy.deepcopy(classed) == classed
    assert asdict(classed)["reasons"] == classed.reasons
    again = pickle.loads(pickle.dumps(classed.reasons))  # noqa: S301 – our own bytes
    assert again[0].code == classed.reasons[0].code


@pytest.mark.parametrize(
    ("sides", "up", "step", "weight"),
    [
        ((10.0, 10.0, 10.0), False, None, 0.2),
        ((9.1, 9.2, 9.3), True, None, 0.2),
        ((40.0, 30.0, 20.0), False, 0.1, 4.8),
        ((40.0, 30.0, 20.1), False, 0.5, 5.0),
    ],
)
def test_dimensional_weight_rounds_up_only_where_asked(
    sides: tuple[float, float, float], up: bool, step: float | None, weight: float
) -> None:
    found = lithium.dimensional_weight(*sides, 5000, round_up_sides=up, round_up_to=step)
    assert found == pytest.approx(weight)
