"""Strips of pixels against data sheets and published guides."""

import pytest

from builds.engineering import pixels


@pytest.mark.parametrize(
    ("number", "colour", "channel_ma", "idle_ma", "ampere"),
    [
        pytest.param(60, "#ffffff", 20, 0, 3.6, id="Adafruit, powering pixels: 60 white"),
        pytest.param(300, "#ffffff", 20, 0, 18.0, id="Adafruit, powering pixels: 300 white"),
        pytest.param(144, "#ffffff", 12, 0.6, 5.2704, id="closed form: white"),
        pytest.param(144, "#ff0000", 12, 0.6, 1.8144, id="closed form: red"),
        pytest.param(144, "#000000", 12, 0.6, 0.0864, id="closed form: off"),
    ],
)
def test_current_of_a_strip(
    number: int, colour: str, channel_ma: float, idle_ma: float, ampere: float
) -> None:
    found = pixels.strip_current_a(number, colour, channel_ma, idle_ma)
    assert found == pytest.approx(ampere, rel=1e-9)


@pytest.mark.parametrize(
    ("number", "reset_s", "ms"),
    [  # closed form from the WS2812B datasheets: 24 bits of 1.25 µs; reset 280 µs, older 50 µs
        (60, 280e-6, 2.080),
        (144, 280e-6, 4.600),
        (300, 280e-6, 9.280),
        (144, 50e-6, 4.370),
    ],
)
def test_time_of_a_frame(number: int, reset_s: float, ms: float) -> None:
    assert pixels.refresh_time_s(number, reset_s) * 1000 == pytest.approx(ms, rel=1e-9)


def test_newer_reset_is_the_default() -> None:
    assert pixels.refresh_time_s(144) == pixels.refresh_time_s(144, 280e-6)


@pytest.mark.parametrize(
    ("length_m", "number"),
    [(0.9, 129), (0.9144, 131), (1.0, 144)],  # closed form, 144 a metre
)
def test_whole_pixels_alone_are_counted(length_m: float, number: int) -> None:
    assert pixels.count(length_m, 144) == number


def test_power_of_a_pixel() -> None:
    assert pixels.pixel_power_w(60, 5) == pytest.approx(0.3, rel=1e-9)  # closed form


def test_what_data_sheets_and_guides_state() -> None:
    # WS2812B datasheets (supply); Adafruit's guides (capacitor, resistor); lists (currents).
    assert pixels.SUPPLY_V == (3.5, 5.3)
    assert (pixels.RESET_OLDER_S, pixels.RESET_NEWER_S) == (50e-6, 280e-6)
    assert pixels.PUBLISHED_CHANNEL_MA == (12, 16, 18, 18.5, 20)
    assert (pixels.WIRING_MA, pixels.RUNTIME_MA, pixels.IDLE_MA) == (20, 12, (0.6, 1))
    assert (pixels.BULK_CAPACITOR_UF, pixels.BULK_CAPACITOR_LEAST_V) == (1000, 6.3)
    assert pixels.DATA_RESISTOR_OHM == (300, 500)
