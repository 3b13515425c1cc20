"""Speakers and amplifiers against published values and closed forms."""

import pytest

from builds.engineering import speaker


@pytest.mark.parametrize(
    ("ohm", "watt"),
    [(4, 2.002), (8, 1.001), (16, 0.501)],  # Audio Asylum, speakers: at 2.83 V
)
def test_power_at_the_usual_test_voltage(ohm: float, watt: float) -> None:
    assert speaker.power_w(2.83, ohm) == pytest.approx(watt, abs=6e-4)


@pytest.mark.parametrize(
    ("supply_v", "ohm", "watt"),
    [(5, 4, 3.125), (3.7, 8, 0.8556)],  # closed form
)
def test_clean_sine_from_a_bridge(supply_v: float, ohm: float, watt: float) -> None:
    assert speaker.sine_limit_w(supply_v, ohm) == pytest.approx(watt, abs=5e-5)


def test_current_of_an_amplifier() -> None:
    assert speaker.supply_current_a(1, 0.92, 5) == pytest.approx(0.2174, abs=5e-5)  # closed form
