"""Loudness and WAVE headers against published values."""

import io
import wave

import numpy as np
import pytest
from numpy.typing import NDArray

from builds.sounds.audit.loudness import Meter, filters
from builds.sounds.audit.wave import header, read_wave

RATE = 48_000
BLOCK = 65_536


def tone(decibels: float, seconds: float, hertz: float = 1000.0, channels: int = 2) -> NDArray:
    moments = np.arange(int(seconds * RATE)) / RATE
    one = 10 ** (decibels / 20) * np.sin(2 * np.pi * hertz * moments)
    return np.repeat(one[:, None], channels, axis=1)


def lufs(samples: NDArray, rate: int = RATE) -> float:
    meter = Meter(rate, samples.shape[1])
    for at in range(0, len(samples), BLOCK):
        meter.hear(samples[at : at + BLOCK])
    found = meter.read().lufs
    assert found is not None
    return found


# EBU Tech 3341, table 1, minimum requirements, as transcribed in a public test suite: ± 0.1 LU.
EBU = [
    (((-23.0, 20),), -23.0),
    (((-33.0, 20),), -33.0),
    (((-36.0, 10), (-23.0, 60), (-36.0, 10)), -23.0),
    (((-72.0, 10), (-36.0, 10), (-23.0, 60), (-36.0, 10), (-72.0, 10)), -23.0),
    (((-26.0, 20), (-20.0, 20.1), (-26.0, 20)), -23.0),
]  # fmt: skip


@pytest.mark.parametrize(("parts", "expected"), EBU)
def test_loudness_meets_ebu_tech_3341(
    parts: tuple[tuple[float, float], ...], expected: float
) -> None:
    heard = np.concatenate([tone(decibels, seconds) for decibels, seconds in parts])
    assert lufs(heard) == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize("channel", [0, 1])
def test_sine_at_full_scale_in_one_channel_reads_as_bs_1770_says(channel: int) -> None:
    # ITU-R BS.1770-4, annex 1: 997 Hz at 0 dBFS in one of left, centre, right reads −3.01 LKFS.
    heard = tone(0.0, 5, 997.0)
    heard[:, 1 - channel] = 0.0
    assert lufs(heard) == pytest.approx(-3.01, abs=0.01)


def test_filters_at_48_khz_are_those_of_bs_1770() -> None:
    # ITU-R BS.1770-4, annex 1, tables 1 and 2.
    shelf, high_pass = filters(48_000)
    assert shelf[0] == pytest.approx((1.53512485958697, -2.69169618940638, 1.19839281085285))
    assert shelf[1] == pytest.approx((1.0, -1.69065929318241, 0.73248077421585))
    assert high_pass[0] == (1.0, -2.0, 1.0)
    assert high_pass[1] == pytest.approx((1.0, -1.99004745483398, 0.99007225036621))


@pytest.mark.parametrize("rate", [8_000, 11_025, 22_050, 44_100, 96_000])
def test_other_sample_rates_read_the_same(rate: int) -> None:
    # BS.1770-4, annex 1: at other rates the response must be that of 48 kHz.
    moments = np.arange(5 * rate) / rate
    heard = np.sin(2 * np.pi * 997 * moments)[:, None]
    assert lufs(heard, rate) == pytest.approx(-3.01, abs=0.1)


def test_header_of_a_second_in_mono() -> None:
    # CHECKS: 1 channel, 44,100 Hz, 16 bit, 1 s, after the Multimedia Programming Interface 1.0
    # and the standard library's wave module, which writes the same.
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setparams((1, 2, 44_100, 44_100, "NONE", ""))
        file.writeframes(b"\0\0" * 44_100)
    written = out.getvalue()
    assert header(44_100, 1, 16, 88_200) == written[:44]
    found = read_wave(io.BytesIO(written), len(written))
    assert found.riff_size == 88_236
    assert (found.byte_rate, found.align, found.data_bytes) == (88_200, 2, 88_200)
    assert found.faults == ()
