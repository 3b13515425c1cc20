"""Preferred values and series resistors beside the library eseries and exact decimals."""

from decimal import Decimal
from random import Random

import eseries
import pytest

from builds.engineering import led

CASES = 1500
SERIES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")


@pytest.mark.parametrize("series", SERIES)
def test_the_whole_table_is_the_librarys(series: str) -> None:
    table = [float(f"{value}e-2") for value in led.SERIES[series]]
    first = eseries.series(eseries.ESeries[series])
    assert table == pytest.approx([value / first[0] for value in first], rel=1e-12)


@pytest.mark.parametrize("series", SERIES)
def test_next_preferred_value_agrees_with_the_library(series: str) -> None:
    # Log-uniform from 0.1 Ω to 10 MΩ; agreement: the same value, to 1e-12.
    random, key = Random(60063), eseries.ESeries[series]
    for _ in range(CASES):
        ohm = 10 ** random.uniform(-1, 7)
        theirs = eseries.find_greater_than_or_equal(key, ohm)
        assert led.preferred_up(ohm, series) == pytest.approx(theirs, rel=1e-12), ohm


@pytest.mark.parametrize("series", SERIES)
def test_a_preferred_value_is_its_own_next(series: str) -> None:
    for value in led.SERIES[series]:
        for power in range(-3, 6):
            ohm = float(f"{value}e{power}")
            assert led.preferred_up(ohm, series) == ohm


def _exactly_up(ohm: Decimal, series: str) -> Decimal:
    values = (
        Decimal(value).scaleb(power) for power in range(-6, 7) for value in led.SERIES[series]
    )
    return next(value for value in values if value >= ohm)


@pytest.mark.parametrize("series", ["E6", "E12", "E24", "E96"])
def test_resistor_agrees_with_exact_decimals_where_the_sum_comes_out_even(series: str) -> None:
    # Supplies made so that the exact value is a preferred one: plain floats, without tolerance,
    # go one value too high in many of these. Agreement: the same value in every case.
    random, naive = Random(24), 0
    for _ in range(CASES):
        ohm = Decimal(random.choice(led.SERIES[series])).scaleb(random.randint(-2, 1))
        current = Decimal(random.randint(1, 1000)) / 1000
        forward, row = Decimal(random.randint(15, 36)) / 10, random.randint(1, 3)
        supply = row * forward + ohm * current
        found = led.series_resistor(float(supply), float(forward), float(current), series, row)
        assert found.chosen_ohm == float(ohm), (supply, forward, current, row)
        naive += (float(supply) - row * float(forward)) / float(current) > float(ohm)
    assert naive > CASES / 20  # the cases are hard enough to show a missing tolerance


@pytest.mark.parametrize("series", ["E6", "E12", "E24", "E96"])
def test_resistor_agrees_with_exact_decimals_on_any_typed_numbers(series: str) -> None:
    random = Random(96)
    for _ in range(CASES):
        forward, row = Decimal(random.randint(150, 360)) / 100, random.randint(1, 3)
        supply = row * forward + Decimal(random.randint(1, 1200)) / 100
        current = Decimal(random.randint(1, 2000)) / 1000
        exact = (supply - row * forward) / current
        found = led.series_resistor(float(supply), float(forward), float(current), series, row)
        assert found.exact_ohm == pytest.approx(float(exact), rel=1e-11)
        assert found.chosen_ohm == float(_exactly_up(exact, series))
