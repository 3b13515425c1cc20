"""One case: sums, limits, drops and times."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from math import inf
from random import Random

import pytest

from builds.engineering import wire
from builds.engineering.findings import Level
from builds.engineering.power import (
    Basis,
    Budget,
    Cell,
    Limit,
    Load,
    Path,
    Rating,
    Run,
    budget,
)

CASES = 1000
CELL = Cell("cell", 3000, Rating("cell", 15.0, "invented sheet"))
STRIP = Load("strip", 4.0, 2.5, 0.002, 0.4)
BOARD = Load("board", 0.5, 0.2, 0.003)
BLADE = Run("blade wire", 22, 0.2, ("strip",), parallel=2)
MAIN = Run("cell wire", 20, 0.25)


def codes(found: Budget) -> list[tuple[str, str, str]]:
    return [(finding.level, finding.code, finding.about) for finding in found.findings]


def through(limit_a: float, *amperes: float) -> Limit:
    loads = [Load(f"load {n}", ampere, ampere) for n, ampere in enumerate(amperes)]
    rated = replace(CELL, rating=Rating("cell", limit_a, "invented sheet"))
    return budget(rated, loads, Path()).limits[0]


def test_currents_are_summed_as_worst_typical_and_idle() -> None:
    found = budget(CELL, (STRIP, BOARD), Path())
    assert found.worst_a == pytest.approx(4.5)
    assert found.typical_a == pytest.approx(0.4 * 2.5 + 0.6 * 0.002 + 0.2)
    assert found.idle_a == pytest.approx(0.005)


def test_times_follow_from_currents_and_the_cell() -> None:
    found = budget(CELL, (STRIP, BOARD), Path())
    assert found.runtime_worst_h == pytest.approx(3 * 0.8 / 4.5)
    assert found.runtime_typical_h == pytest.approx(3 * 0.8 / 1.2012)
    assert found.idle_days == pytest.approx(3000 / (5 + 3000 * 0.02 / 730) / 24)


def test_a_hilt_without_loads_lasts_and_breaks_nothing() -> None:
    found = budget(replace(CELL, self_discharge_per_month=0), (), Path((MAIN,)))
    assert (found.worst_a, found.runtime_worst_h, found.idle_days) == (0, inf, inf)
    assert found.findings == ()
    assert all(limit.ok for limit in found.limits)


def test_each_part_sees_what_it_carries() -> None:
    switch = Rating("switch", 3.0, "invented label", carries=("board",))
    found = budget(CELL, (STRIP, BOARD), Path((MAIN, BLADE), (switch,)))
    seen = {limit.name: limit.current_a for limit in found.limits}
    assert seen == {"cell": 4.5, "switch": 0.5, "cell wire": 4.5, "blade wire": 4.0}


def test_wire_limit_names_its_table_and_the_line_read() -> None:
    limit = budget(CELL, (STRIP,), Path((replace(BLADE, gauge=23),))).limits[1]
    assert limit.limit_a == 2 * 2.0
    assert limit.upper_a == 2 * 3.5
    assert limit.table == "machine wiring, 75 °C, 24 AWG"
    assert limit.source == wire.MACHINE.source


def test_wire_thinner_than_its_table_goes_by_the_rule_and_says_so() -> None:
    found = budget(CELL, (BOARD,), Path((Run("button", 32, 0.1),)))
    limit = found.limits[1]
    assert limit.limit_a == wire.current_limit_a(32, wire.CMIL)
    assert limit.upper_a is None
    assert (Level.KNOW, "not-in-table", "button") in codes(found)


def test_wire_thicker_than_the_free_air_table_has_no_upper_bound() -> None:
    run = Run("lead", 6, 0.2, table=wire.CMIL)
    assert budget(CELL, (STRIP,), Path((run,))).limits[1].upper_a is None


def test_drops_add_up_from_the_cell_outwards() -> None:
    found = budget(CELL, (STRIP, BOARD), Path((MAIN, BLADE, Run("pad", 28, 0.1, ("board",)))))
    main, blade, pad = found.drops
    assert main.drop_v == pytest.approx(wire.voltage_drop_v(20, 0.25, 4.5, 60))
    assert blade.drop_v == pytest.approx(wire.voltage_drop_v(22, 0.2, 2.0, 60))
    assert main.left_v == pytest.approx(3.6 - main.drop_v)
    assert blade.left_v == pytest.approx(3.6 - main.drop_v - blade.drop_v)
    assert pad.left_v == pytest.approx(3.6 - main.drop_v - pad.drop_v)
    assert blade.drop_v == pytest.approx(blade.current_a * blade.resistance_ohm)


@pytest.mark.parametrize(
    ("ampere", "found"),
    [
        (2.4, []),  # exactly 80 % of 3 A is not near
        (2.5, [("know", "near-limit", "wire")]),
        (3.0, [("know", "near-limit", "wire")]),  # exactly at the limit passes
        (3.01, [("stops", "over-limit", "wire")]),
        (7.0, [("stops", "over-limit", "wire")]),
        (7.01, [("stops", "over-upper", "wire")]),
    ],
)
def test_a_limit_is_kept_near_broken_or_passed_in_free_air(
    ampere: float, found: list[tuple[str, str, str]]
) -> None:
    path = Path((Run("wire", 22, 0.05),))
    assert codes(budget(CELL, (Load("strip", ampere, 1.0),), path)) == found


def test_on_paper_a_broken_limit_is_a_decision() -> None:
    path = Path((Run("wire", 22, 0.05),))
    found = budget(CELL, (Load("strip", 8, 1),), path, Basis.PAPER)
    assert codes(found) == [("decide", "over-upper", "wire")]


@pytest.mark.parametrize(("basis", "level"), [(Basis.OWN, "decide"), (Basis.PAPER, "know")])
def test_too_little_at_the_far_end_is_said(basis: Basis, level: str) -> None:
    path = Path((Run("wire", 18, 2.0),))
    found = budget(CELL, (Load("strip", 5, 1),), path, basis)
    assert (level, "low-voltage", "wire") in codes(found)
    assert found.drops[0].left_v < 3.3


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Rating("switch", 0, "x"), "The limit of switch in A"),
        (lambda: Rating("switch", float("nan"), "x"), "The limit of switch"),
        (lambda: Rating("switch", 3, "x", upper_a=2), "in free air must be 3 A or more"),
        (lambda: replace(CELL, capacity_mah=0), "The capacity of cell"),
        (lambda: replace(CELL, capacity_mah=inf), "The capacity of cell"),
        (lambda: replace(CELL, nominal_v=-3.6), "The nominal voltage"),
        (lambda: replace(CELL, full_v=3.5), r"must have 3\.6 V or more"),
        (lambda: replace(CELL, usable=1.1), "The usable share"),
        (lambda: replace(CELL, self_discharge_per_month=-0.1), "The self-discharge"),
        (lambda: Load("strip", -1, 0), "The worst current of strip"),
        (lambda: Load("strip", float("nan"), 0), "The worst current of strip"),
        (lambda: Load("strip", 1, -1), "The typical current of strip"),
        (lambda: Load("strip", 1, 2), "cannot be less than its typical"),
        (lambda: Load("strip", 1, 1, 2), "cannot be less than its typical or idle"),
        (lambda: Load("strip", 1, 1, -1), "The idle current of strip"),
        (lambda: Load("strip", 1, 1, duty=1.5), "The share of time that strip is on"),
        (lambda: Run("wire", 99, 0.1), "There is no wire gauge 99"),
        (lambda: Run("wire", 22, -0.1), "The wire's length"),
        (lambda: Run("wire", 22, 0.1, parallel=0), "Wires side by side in wire"),
        (lambda: Run("wire", 22, 0.1, parallel=1.5), "must be a whole number"),
        (lambda: Run("wire", 22, 0.1, temperature_c=500), "The wire's temperature"),
        (lambda: budget(CELL, (STRIP, STRIP), Path()), "Two loads bear the name strip"),
        (lambda: budget(CELL, (BOARD,), Path((BLADE,))), "blade wire is said to carry strip"),
    ],
)
def test_what_cannot_be_is_refused(make: Callable[[], object], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        make()


def test_more_current_never_lengthens_runtime_nor_widens_a_margin() -> None:
    random = Random(12)
    path = Path((MAIN, BLADE))
    for _ in range(CASES):
        worst, idle = random.uniform(0.1, 20), random.uniform(0, 0.01)
        typical, more = random.uniform(0.05, worst), random.uniform(0, 2)
        less = budget(CELL, (Load("strip", worst, typical, idle), BOARD), path)
        grown = budget(
            CELL, (Load("strip", worst + more, typical + more, idle + more / 99), BOARD), path
        )
        assert grown.runtime_worst_h <= less.runtime_worst_h
        assert grown.runtime_typical_h <= less.runtime_typical_h
        assert grown.idle_days <= less.idle_days
        for one, other in zip(less.limits, grown.limits, strict=True):
            assert other.margin_a <= one.margin_a
            assert one.ok or not other.ok
        for was, now in zip(less.drops, grown.drops, strict=True):
            assert now.left_v <= was.left_v


def test_longer_thinner_or_warmer_wire_never_leaves_more() -> None:
    random = Random(13)
    for _ in range(CASES):
        run = Run("wire", random.randint(16, 30), random.uniform(0.01, 1))
        worse = (
            replace(run, one_way_m=run.one_way_m * 1.1),
            replace(run, gauge=int(run.gauge) + 1),
            replace(run, temperature_c=run.temperature_c + 10),
        )
        left = budget(CELL, (STRIP,), Path((run,))).drops[0].left_v
        for other in worse:
            assert budget(CELL, (STRIP,), Path((other,))).drops[0].left_v < left
        doubled = budget(CELL, (STRIP,), Path((replace(run, parallel=2),)))
        assert doubled.drops[0].left_v > left


def test_rounding_never_makes_a_red_line_green() -> None:
    random = Random(14)
    for _ in range(CASES):
        limit_a = round(random.uniform(0.1, 20), 2)
        excess = 10 ** random.uniform(-6, -2.31)  # shown to two places, it is the limit
        current = limit_a + excess
        assert round(current, 2) == limit_a
        red = through(limit_a, current)
        assert not red.ok
        assert red.margin_a < 0


def test_a_limit_holds_as_exact_fractions_say() -> None:
    # Typed numbers, half of them exactly at the limit, which passes though binary sums wobble.
    random = Random(15)
    for _ in range(CASES):
        hundredths = [random.randint(1, 500) for _ in range(random.randint(1, 7))]
        total = Fraction(sum(hundredths), 100)
        limit = total + random.choice((0, 0, Fraction(1, 100), Fraction(-1, 100)))
        if limit > 0:
            found = through(float(limit), *(part / 100 for part in hundredths))
            assert found.ok == (total <= limit), (hundredths, limit)


def test_sums_agree_with_fractions() -> None:
    random = Random(16)
    for _ in range(CASES):
        loads = [
            Load(f"load {n}", random.randint(500, 900) / 100, random.randint(0, 400) / 100,
                 random.randint(0, 9) / 1000, random.randint(0, 100) / 100)
            for n in range(random.randint(1, 6))
        ]  # fmt: skip
        found = budget(CELL, loads, Path())
        mean = sum(
            Fraction(load.duty) * Fraction(load.typical_a)
            + (1 - Fraction(load.duty)) * Fraction(load.idle_a)
            for load in loads
        )
        worst = sum(Fraction(load.worst_a) for load in loads)
        assert found.worst_a == pytest.approx(float(worst), rel=1e-12)
        assert found.typical_a == pytest.approx(float(mean), rel=1e-12)
        assert found.runtime_worst_h == pytest.approx(float(Fraction(12, 5) / worst), rel=1e-12)
