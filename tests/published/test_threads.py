"""Threads, tap drills and clocking against charts and closed forms."""

import pytest

from builds.engineering import clocking, threads


@pytest.mark.parametrize(
    ("major_mm", "pitch_mm", "minor_mm", "drill_mm"),
    [
        pytest.param(3, 0.5, 2.459, 2.5, id="M3, ISO 724 as charted by Tameson"),
        pytest.param(4, 0.7, 3.242, 3.3, id="M4, ISO 724 as charted by Engineering Toolbox"),
        pytest.param(8, 1.25, 6.647, 6.75, id="M8, closed form; drill sold as 6.8"),
    ],
)
def test_metric_threads(major_mm: float, pitch_mm: float, minor_mm: float, drill_mm: float) -> None:
    assert threads.minor_mm(major_mm, pitch_mm) == pytest.approx(minor_mm, abs=5.1e-4)
    assert threads.tap_drill_mm(major_mm, pitch_mm) == pytest.approx(drill_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "major_in", "minor_in", "drill"),
    [
        pytest.param("8-32", 0.164, 0.1302, "#29", id="ASME B1.1 as charted, torquetoolbox.com"),
        pytest.param("4-40", 0.112, 0.0849, "#43", id="ASME B1.1 as charted, microadvances.com"),
    ],
)
def test_inch_threads(name: str, major_in: float, minor_in: float, drill: str) -> None:
    thread = threads.inch_thread(name)
    minor_mm = threads.minor_mm(thread.major_mm, thread.pitch_mm)
    assert (thread.major_in, thread.drill) == (major_in, drill)
    assert minor_mm / 25.4 == pytest.approx(minor_in, abs=5.1e-5)


def test_pitch_diameter() -> None:
    # ISO 68-1: d2 = d − 0.649519 P; M3 × 0.5 is charted at 2.675 (from memory).
    assert threads.pitch_diameter_mm(3, 0.5) == pytest.approx(2.675, abs=5e-4)


@pytest.mark.parametrize(
    ("pitch_mm", "angle_deg", "advance_mm"),
    [
        pytest.param(0.5, 7.2, 0.0100, id="a micrometer's 1/50 turn, tresnainstrument.com"),
        pytest.param(1.27, 90, 0.3175, id="closed form, 20 threads an inch"),
    ],
)
def test_advance_of_a_turned_thread(pitch_mm: float, angle_deg: float, advance_mm: float) -> None:
    assert clocking.advance_mm(pitch_mm, angle_deg) == pytest.approx(advance_mm, rel=1e-9)


def test_angle_that_a_shim_takes() -> None:
    assert clocking.angle_deg(1.5875, 0.1) == pytest.approx(22.677, abs=5e-4)  # closed form
