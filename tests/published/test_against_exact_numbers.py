"""The sums once more in decimals of 50 digits and in fractions, on random cases."""

from collections.abc import Callable, Iterator
from decimal import ROUND_CEILING, Decimal, localcontext
from fractions import Fraction
from math import floor
from random import Random

import pytest

from builds.engineering import cells, clocking, led, pixels, speaker, threads, wire
from builds.engineering.cells import Chemistry

CASES = 1500
REL = 1e-12  # agreement, unless said otherwise


def typed(random: Random, low: float, high: float, places: int) -> Decimal:
    """A number as a hand types it."""
    return Decimal(str(round(random.uniform(low, high), places)))


def resistance(gauge: int, length_m: Decimal, celsius: Decimal) -> Decimal:
    pi = Decimal("3.14159265358979323846264338327950288419716939937510")
    diameter_m = Decimal("0.127e-3") * Decimal(92) ** (Decimal(36 - gauge) / 39)
    warm = 1 + Decimal("0.00393") * (celsius - 20)
    return Decimal("1.7241e-8") * warm * length_m / (pi * diameter_m**2 / 4)


def test_wire_in_decimals_of_50_digits() -> None:
    random = Random(258)
    with localcontext() as context:
        context.prec = 50
        for _ in range(CASES):
            gauge = random.randint(wire.THICKEST, wire.THINNEST)
            length, celsius = typed(random, 0.01, 30, 3), typed(random, -60, 200, 1)
            ampere = typed(random, 0, 40, 2)
            ohm = resistance(gauge, length, celsius)
            ours = wire.resistance_ohm(gauge, float(length), float(celsius))
            drop = wire.voltage_drop_v(gauge, float(length), float(ampere), float(celsius))
            assert ours == pytest.approx(float(ohm), rel=REL)
            assert drop == pytest.approx(float(2 * ohm * ampere), rel=REL)


def test_pixels_in_fractions() -> None:
    random = Random(2812)
    for _ in range(CASES):
        length, per_metre = typed(random, 0, 2, 4), random.choice((30, 60, 74, 96, 100, 144, 200))
        assert pixels.count(float(length), per_metre) == floor(Fraction(length) * per_metre)


def test_pixels_of_lengths_that_come_out_whole() -> None:
    # n pixels at so many a metre, typed to the last digit: never one too few.
    for per_metre in (30, 60, 96, 100, 144):
        for number in range(1, 400):
            assert pixels.count(number / per_metre, per_metre) == number


def test_strip_current_in_fractions() -> None:
    random = Random(144)
    for _ in range(CASES):
        number, channels = random.randint(0, 400), [random.randint(0, 255) for _ in range(3)]
        channel, idle = typed(random, 0, 25, 1), typed(random, 0, 1, 2)
        bright = typed(random, 0, 1, 2)
        exact = number * (
            Fraction(sum(channels), 255) * Fraction(bright) * Fraction(channel) + Fraction(idle)
        )
        colour = "#" + "".join(f"{value:02x}" for value in channels)
        ours = pixels.strip_current_a(number, colour, float(channel), float(idle), float(bright))
        assert ours == pytest.approx(float(exact / 1000), rel=REL)


def test_frame_time_in_fractions() -> None:
    random = Random(280)
    for _ in range(CASES):
        number, bits = random.randint(0, 2000), random.choice((24, 32))
        reset = typed(random, 0, 400, 0)
        exact = number * bits * Fraction(125, 10**8) + Fraction(reset) / 10**6
        ours = pixels.refresh_time_s(number, float(reset) * 1e-6, bits)
        assert ours == pytest.approx(float(exact), rel=REL)


def test_energy_is_the_exact_fraction() -> None:
    random = Random(185)
    for _ in range(CASES):
        millivolt, capacity = random.randint(1, 60_000), random.randint(1, 50_000)
        exact = Fraction(millivolt, 1000) * Fraction(capacity, 1000)
        assert cells.energy_wh(millivolt, capacity) == float(exact)  # agreement: the same float


def test_runtime_and_idle_days_in_fractions() -> None:
    random = Random(730)
    for _ in range(CASES):
        capacity, current = random.randint(100, 6000), typed(random, 0.01, 20_000, 2)
        usable, lost = typed(random, 0, 1, 2), typed(random, 0, 0.2, 3)
        hours = Fraction(capacity) * Fraction(usable) / Fraction(current)
        drained = Fraction(current) + capacity * Fraction(lost) / 730
        ours = cells.runtime_h(capacity, float(current), float(usable))
        days = cells.idle_days(capacity, float(current), float(lost))
        assert ours == pytest.approx(float(hours), rel=REL)
        assert days == pytest.approx(float(capacity / drained / 24), rel=REL)


def test_sizes_are_rounded_up_as_decimals_are_and_read_back() -> None:
    random = Random(61960)
    for _ in range(CASES):
        diameter, length = typed(random, 1, 60, 2), typed(random, 1, 120, 2)
        up = [size.to_integral_value(ROUND_CEILING) for size in (diameter, length)]
        chemistry, series = random.choice(list(Chemistry)), random.randint(1, 8)
        parallel = random.randint(1, 8)
        name = cells.encode(float(diameter), float(length), chemistry, series, parallel)
        found = cells.decode(name)
        assert [found.diameter_mm, found.length_mm] == up
        assert (found.chemistry, found.series, found.parallel) == (chemistry, series, parallel)


def test_prismatic_names_are_read_back() -> None:
    random = Random(61961)
    for _ in range(CASES):
        sizes = [typed(random, low, high, 1) for low, high in ((0.1, 30), (1, 90), (1, 120))]
        thickness = sizes[0] if sizes[0] < 1 else sizes[0].to_integral_value(ROUND_CEILING)
        thick, wide, long = map(float, sizes)
        name = cells.encode_prismatic(thick, wide, long, Chemistry.COBALT)
        found = cells.decode(name)
        assert found.thickness_mm == float(thickness)
        assert found.width_mm == sizes[1].to_integral_value(ROUND_CEILING)
        assert found.length_mm == sizes[2].to_integral_value(ROUND_CEILING)


SPEAKERS: list[tuple[Callable[..., float], Callable[..., Fraction]]] = [
    (speaker.power_w, lambda v, r: v * v / r),
    (speaker.sine_limit_w, lambda v, r: v * v / (2 * r)),
    (lambda v, r: led.greatest_v(v, r) ** 2, lambda v, r: v * r),
    (clocking.advance_mm, lambda p, a: p * a / 360),
    (clocking.angle_deg, lambda p, s: 360 * s / p),
]


@pytest.mark.parametrize(("ours", "exact"), SPEAKERS)
def test_closed_forms_in_fractions(
    ours: Callable[..., float], exact: Callable[..., Fraction]
) -> None:
    random = Random(360)
    for _ in range(CASES):
        one, two = typed(random, 0.05, 12, 3), typed(random, 0.05, 32, 3)
        wanted = float(exact(Fraction(one), Fraction(two)))
        assert ours(float(one), float(two)) == pytest.approx(wanted, rel=REL)


def _threads(random: Random) -> Iterator[tuple[Decimal, Decimal]]:
    for _ in range(CASES):
        pitch = typed(random, 0.1, 3, 3)
        yield pitch * typed(random, 2, 12, 1), pitch


def test_threads_in_fractions() -> None:
    for major, pitch in _threads(Random(68)):
        d, p = Fraction(major), Fraction(pitch)
        sizes = float(major), float(pitch)
        # Agreement to 1e-6 mm: the standard's own constants are rounded from √3.
        assert threads.minor_mm(*sizes) == pytest.approx(float(d - p * 5 / 8 * _root_3()), abs=2e-6)
        assert threads.pitch_diameter_mm(*sizes) == pytest.approx(
            float(d - p * 3 / 8 * _root_3()), abs=2e-6
        )
        assert threads.tap_drill_mm(*sizes) == pytest.approx(float(d - p), rel=REL)


def _root_3() -> Fraction:
    return Fraction(Decimal(3).sqrt())
