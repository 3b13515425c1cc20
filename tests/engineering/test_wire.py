"""How wire behaves, whatever its gauge."""

from itertools import pairwise
from random import Random

import pytest

from builds.engineering import wire

CASES = 1000
GAUGES = range(wire.THICKEST, wire.THINNEST + 1)


def test_every_thinner_wire_is_thinner_and_drops_more() -> None:
    for thick, thin in pairwise(GAUGES):
        assert wire.awg_diameter_mm(thin) < wire.awg_diameter_mm(thick)
        assert wire.awg_area_mm2(thin) < wire.awg_area_mm2(thick)
        assert wire.voltage_drop_v(thin, 0.3, 2) > wire.voltage_drop_v(thick, 0.3, 2)
        assert wire.current_limit_a(thin, wire.CMIL) < wire.current_limit_a(thick, wire.CMIL)


def test_39_gauges_are_a_factor_of_92() -> None:
    assert wire.awg_diameter_mm(-3) / wire.awg_diameter_mm(36) == pytest.approx(92, rel=1e-12)


def test_drop_grows_with_length_current_and_heat() -> None:
    random = Random(1)
    for _ in range(CASES):
        gauge, length = random.choice(GAUGES), random.uniform(0.01, 5)
        ampere, celsius = random.uniform(0.01, 20), random.uniform(-60, 150)
        drop = wire.voltage_drop_v(gauge, length, ampere, celsius)
        assert wire.voltage_drop_v(gauge, length * 1.01, ampere, celsius) > drop
        assert wire.voltage_drop_v(gauge, length, ampere * 1.01, celsius) > drop
        assert wire.voltage_drop_v(gauge, length, ampere, celsius + 1) > drop


def test_no_length_or_no_current_drops_nothing() -> None:
    assert wire.voltage_drop_v(22, 0, 5) == 0
    assert wire.voltage_drop_v(22, 1, 0) == 0


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("22", 22), ("22 AWG", 22), ("AWG22", 22), (" 22awg ", 22), ("0", 0), ("00", -1),
        ("000", -2), ("0000", -3), ("1/0", 0), ("2/0", -1), ("4/0 AWG", -3), (22.0, 22),
    ],
)  # fmt: skip
def test_gauge_as_hands_write_it(text: str, number: int) -> None:
    assert wire.gauge_number(text) == number


@pytest.mark.parametrize("table", wire.TABLES.values(), ids=lambda table: table.code)
def test_every_table_names_itself_and_its_source(table: wire.Table) -> None:
    assert table.name
    assert table.source
    assert wire.TABLES[table.code] is table


def test_a_gauge_between_two_lines_takes_the_thinner() -> None:
    found = wire.allowed(23)
    assert (found.limit_a, found.listed, found.table) == (2.0, 24, wire.MACHINE)
    assert wire.allowed(10).listed == 18


def test_no_table_allows_a_thinner_wire_more() -> None:
    for table in wire.TABLES.values():
        known = [gauge for gauge in GAUGES if wire.knows(table, gauge)]
        limits = [wire.current_limit_a(gauge, table) for gauge in known]
        assert limits == sorted(limits, reverse=True)


def test_a_closed_hilt_is_never_allowed_more_than_free_air() -> None:
    for gauge in range(18, 31):
        assert wire.current_limit_a(gauge) < wire.current_limit_a(gauge, wire.UPPER)


def test_a_refusal_says_which_table_ends_where() -> None:
    with pytest.raises(ValueError, match=r"machine wiring, 75 °C” ends at 30 AWG.*32 AWG"):
        wire.current_limit_a(32)
