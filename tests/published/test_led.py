"""Series resistors and their ratings against published sums."""

import pytest

from builds.engineering import led

# supply V, forward V, mA, exact Ω, exact mW, next E12, next E24
SUMS = [
    pytest.param(9, 1.8, 5, 1440, 36, 1500, 1500, id="Wikipedia, LED circuit"),
    pytest.param(5, 2.0, 20, 150, 60, 150, 150, id="theprimecalculator.com"),
    pytest.param(9, 2.0, 20, 350, 140, 390, 360, id="hobby-hour.com, LED resistor"),
    pytest.param(4.2, 3.2, 20, 50, 20, 56, 51, id="closed form; eseries"),
    pytest.param(4.2, 3.2, 1000, 1.0, 1000, 1.0, 1.0, id="closed form"),
]


@pytest.mark.parametrize(("supply", "forward", "ma", "ohm", "mw", "e12", "e24"), SUMS)
def test_series_resistor(
    supply: float, forward: float, ma: float, ohm: float, mw: float, e12: float, e24: float
) -> None:
    found = led.series_resistor(supply, forward, ma / 1000)
    assert found.exact_ohm == pytest.approx(ohm, rel=1e-9)
    assert found.exact_dissipation_w * 1000 == pytest.approx(mw, rel=1e-9)
    assert found.chosen_ohm == e24
    assert led.series_resistor(supply, forward, ma / 1000, "E12").chosen_ohm == e12


def test_current_through_the_chosen_value() -> None:
    # hobby-hour.com: 360 Ω gives 19.44 mA.
    found = led.series_resistor(9, 2, 0.02)
    assert found.current_a * 1000 == pytest.approx(19.44, abs=0.005)
    assert found.dissipation_w == pytest.approx(7 * 0.0194444, rel=1e-5)


@pytest.mark.parametrize(
    ("celsius", "share"),
    [  # Chian Chia, metal-film specification; TT Electronics, definitions of terms
        (25, 1.0),
        (70, 1.0),
        (125, 0.3529),  # Vishay, RCM tutorial, rounds it to 35 %
        (155, 0.0),
        (200, 0.0),
    ],
)
def test_metal_film_bears_less_when_hot(celsius: float, share: float) -> None:
    assert led.derated_fraction(celsius) == pytest.approx(share, abs=5e-5)


def test_greatest_voltage_at_a_share_of_the_rating() -> None:
    # Vishay, RCM tutorial: 35 % of 1 W in 10 kΩ.
    assert led.greatest_v(1, 10_000, 0.35) == pytest.approx(59.16, abs=0.005)


@pytest.mark.parametrize(
    ("burnt_w", "part_w"),
    [  # at least twice the dissipation: common practice, no source
        (0.0625, 0.125),
        (0.0626, 0.25),
        (0.14, 0.5),
        (1.0, 2.0),
        (1.28, 3.0),
        (2.5, 5.0),
        (2.51, None),
    ],
)
def test_part_is_rated_for_twice_what_it_burns(burnt_w: float, part_w: float | None) -> None:
    assert led.rating_w(burnt_w) == part_w
