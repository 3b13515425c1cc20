"""How a resistor is chosen, whatever the LED."""

from random import Random

import pytest

from builds.engineering import led

CASES = 1000


@pytest.mark.parametrize("series", led.SERIES)
def test_chosen_resistor_never_gives_more_than_the_wanted_current(series: str) -> None:
    random = Random(2)
    for _ in range(CASES):
        forward, ampere = random.uniform(1.5, 3.6), random.uniform(0.001, 1)
        found = led.series_resistor(forward + random.uniform(0.05, 9), forward, ampere, series)
        assert found.current_a <= ampere * (1 + 1e-9)
        assert found.dissipation_w <= found.exact_dissipation_w * (1 + 1e-9)


def test_finer_series_comes_no_further_from_the_exact_value() -> None:
    random = Random(3)
    for _ in range(CASES):
        ohm = 10 ** random.uniform(-1, 6)
        for coarse, fine in (("E3", "E6"), ("E6", "E12"), ("E12", "E24"), ("E48", "E96")):
            assert led.preferred_up(ohm, fine) <= led.preferred_up(ohm, coarse)


def test_part_is_rated_on_a_full_cell() -> None:
    # 3.7 V leaves 0.5 V over the resistor; 4.2 V leaves 1.0 V: four times the heat.
    found = led.series_resistor(3.7, 3.2, 1.0, full_v=4.2)
    assert found.chosen_ohm == 0.51
    assert found.full_dissipation_w == pytest.approx(1 / 0.51)
    assert found.dissipation_w == pytest.approx(0.25 / 0.51)
    assert found.full_current_a == pytest.approx(1 / 0.51)
    assert found.rating_w == 5.0
    assert led.series_resistor(3.7, 3.2, 1.0).rating_w == 1.0


def test_no_part_is_named_where_none_is_large_enough() -> None:
    assert led.series_resistor(12, 3.2, 1.0).rating_w is None


def test_a_full_cell_is_not_asked_after_where_none_is_given() -> None:
    found = led.series_resistor(5, 2, 0.02)
    assert (found.full_current_a, found.full_dissipation_w) == (None, None)


def test_rating_is_at_least_twice_what_is_burnt() -> None:
    random = Random(4)
    for _ in range(CASES):
        burnt = random.uniform(0.001, 2.5)
        part = led.rating_w(burnt)
        assert part is not None
        assert part >= 2 * burnt * (1 - 1e-9)


def test_derating_never_grows_with_heat() -> None:
    shares = [led.derated_fraction(celsius) for celsius in range(-55, 300)]
    assert shares == sorted(shares, reverse=True)
    assert set(shares[:126]) == {1.0}
    assert shares[-1] == 0


def test_refusal_names_both_voltages() -> None:
    with pytest.raises(ValueError, match=r"3\.7 V cannot light 2 × 2 V"):
        led.series_resistor(3.7, 2, 0.02, in_series=2)
