"""Threads and shims, whatever their pitch."""

from random import Random

import pytest

from builds.engineering import clocking, threads

CASES = 1000


def test_a_shim_and_its_angle_undo_one_another() -> None:
    random = Random(9)
    for _ in range(CASES):
        pitch, shim = random.uniform(0.2, 3), random.uniform(0, 2)
        angle = clocking.angle_deg(pitch, shim)
        assert clocking.advance_mm(pitch, angle) == pytest.approx(shim, abs=1e-12)


def test_shim_brings_a_part_to_where_it_is_wanted() -> None:
    random = Random(10)
    for _ in range(CASES):
        pitch = random.uniform(0.2, 3)
        stands, wanted = random.uniform(0, 360), random.uniform(0, 360)
        shim = clocking.shim_mm(pitch, stands, wanted)
        assert 0 <= shim < pitch
        stops = stands - clocking.angle_deg(pitch, shim)
        assert (stops - wanted + 180) % 360 - 180 == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("stands", "wanted", "shim"),
    [
        (90, 90, 0.0),
        (90, 0, 0.25),  # a quarter turn earlier
        (0, 90, 0.75),  # 90° further on is three quarters back
        (0.3, 0.1 + 0.2, 0.0),  # binary noise asks for no whole turn
        (720, 0, 0.0),
    ],
)
def test_thinnest_shim(stands: float, wanted: float, shim: float) -> None:
    assert clocking.shim_mm(1.0, stands, wanted) == pytest.approx(shim, abs=1e-9)


def test_diameters_stand_in_order() -> None:
    random = Random(11)
    for _ in range(CASES):
        pitch = random.uniform(0.1, 3)
        major = pitch * random.uniform(1.1, 20)
        minor, middle = (of(major, pitch) for of in (threads.minor_mm, threads.pitch_diameter_mm))
        assert 0 < minor < threads.tap_drill_mm(major, pitch) < middle < major


@pytest.mark.parametrize("name", ["8-32", "#8-32", " 8-32 UNC", "8-32unc"])
def test_inch_thread_as_hands_write_it(name: str) -> None:
    assert threads.inch_thread(name).drill == "#29"


@pytest.mark.parametrize("thread", threads.INCH_THREADS.values(), ids=lambda thread: thread.name)
def test_every_drill_leaves_a_thread_and_lets_the_tap_in(thread: threads.InchThread) -> None:
    minor = threads.minor_mm(thread.major_mm, thread.pitch_mm)
    assert 0.97 * minor < thread.drill_mm < thread.major_mm
    assert thread.source
