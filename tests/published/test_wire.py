"""Wire against published tables. Ω per 1000 ft as printed; 1 ft is 0.3048 m."""

import pytest

from builds.engineering import wire

FEET_1000_M = 304.8
HANDBOOK = "Handbook of Electronic Tables and Formulas, as tabulated by HyperPhysics"


@pytest.mark.parametrize(
    ("gauge", "mm"),
    [
        pytest.param(36, 0.1270, id="ASTM B258, as quoted by wire tables: exact"),
        pytest.param("0000", 11.684, id="ASTM B258, as quoted by wire tables: 0000 exact"),
        pytest.param("4/0", 11.684, id="ASTM B258, the same written 4/0"),
        pytest.param(-3, 11.684, id="ASTM B258, the same as a number"),
    ],
)
def test_fixed_points_of_the_gauge_are_exact(gauge: int | str, mm: float) -> None:
    assert wire.awg_diameter_mm(gauge) == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    ("gauge", "mm", "ohm"),
    [  # HANDBOOK
        (18, 1.0237, 6.385),
        (20, 0.8118, 10.15),
        (22, 0.6438, 16.14),
        (24, 0.5106, 25.67),
        (28, 0.3211, 64.90),
        (30, 0.2546, 103.2),
    ],
)
def test_handbook_diameters_and_resistances(gauge: int, mm: float, ohm: float) -> None:
    assert wire.awg_diameter_mm(gauge) == pytest.approx(mm, rel=5e-4), HANDBOOK
    assert wire.resistance_ohm(gauge, FEET_1000_M) == pytest.approx(ohm, rel=5e-4), HANDBOOK


@pytest.mark.parametrize(
    ("at_20_c", "at_65_c"),
    [(0.9989, 1.175), (1.588, 1.868), (2.525, 2.970)],  # Misumi, copper wire resistance chart
)
def test_resistance_grows_with_temperature_as_charted(at_20_c: float, at_65_c: float) -> None:
    ours = wire.resistance_ohm(22, 1, 65) / wire.resistance_ohm(22, 1, 20)
    assert at_20_c * ours == pytest.approx(at_65_c, rel=1e-3)


@pytest.mark.parametrize(
    ("gauge", "at_20_c", "at_65_c"),
    [(10, 0.9989, 1.175), (12, 1.588, 1.868), (14, 2.525, 2.970)],  # Misumi, gauges from memory
)
def test_charted_wires_themselves(gauge: int, at_20_c: float, at_65_c: float) -> None:
    assert wire.resistance_ohm(gauge, FEET_1000_M) == pytest.approx(at_20_c, rel=1e-3)
    assert wire.resistance_ohm(gauge, FEET_1000_M, 65) == pytest.approx(at_65_c, rel=1e-3)


def test_drop_of_a_course_on_known_resistance() -> None:
    # electrician2.com, lesson on voltage drop: NEC chapter 9 table 8, 4.99 Ω per 1000 ft.
    drop = wire.out_and_back_v(4.99 / FEET_1000_M, 100 * 0.3048, 4)
    assert drop == pytest.approx(3.992, rel=1e-6)


@pytest.mark.parametrize(
    ("gauge", "one_way_m", "current_a", "temperature_c", "volt", "tolerance"),
    [
        pytest.param(18, 30.48, 1, 20, 1.277, 5e-4, id="Voltage Loss in Wire Runs"),
        pytest.param(22, 0.25, 5, 20, 0.13241, 1e-4, id="closed form, 20 °C"),
        pytest.param(22, 0.25, 5, 60, 0.15322, 1e-4, id="closed form, 60 °C"),
    ],
)
def test_drop_out_and_back(
    gauge: int,
    one_way_m: float,
    current_a: float,
    temperature_c: float,
    volt: float,
    tolerance: float,
) -> None:
    drop = wire.voltage_drop_v(gauge, one_way_m, current_a, temperature_c)
    assert drop == pytest.approx(volt, rel=tolerance)


GAUGES = (30, 28, 26, 24, 22, 20, 18)


@pytest.mark.parametrize(
    ("gauge", "limit_a"),
    # MachMotion, wire-sizing table, 75 °C column; that it is NFPA 79's is from memory
    [*zip(GAUGES, (0.5, 0.8, 1, 2, 3, 5, 7), strict=True)],
)
def test_machine_wiring_is_the_default(gauge: int, limit_a: float) -> None:
    assert wire.current_limit_a(gauge) == limit_a


@pytest.mark.parametrize(
    ("gauge", "limit_a"),
    # HANDBOOK, chassis wiring; UCAR, wire-size table
    [*zip(GAUGES, (0.86, 1.4, 2.2, 3.5, 7, 11, 16), strict=True)],
)
def test_chassis_wiring_in_free_air(gauge: int, limit_a: float) -> None:
    assert wire.current_limit_a(gauge, wire.CHASSIS) == limit_a


@pytest.mark.parametrize(
    ("gauge", "limit_a"),
    [(22, 0.92), (18, 2.3)],  # UCAR, wire-size table: 700 circular mils an ampere
)
def test_700_circular_mils_an_ampere(gauge: int, limit_a: float) -> None:
    # As printed, to two figures.
    assert wire.current_limit_a(gauge, wire.CMIL) == pytest.approx(limit_a, rel=0.01)
