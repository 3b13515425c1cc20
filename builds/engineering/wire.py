"""Copper wire: its size, its resistance, what it drops and what it may carry."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from math import nan, pi
from types import MappingProxyType

from builds.engineering.given import finite, not_negative, positive

THICKEST, THINNEST = -3, 56  # AWG 0000 to 56, the range of ASTM B258
RHO_20_OHM_M = 1.7241e-8  # annealed copper at 20 °C, IEC 60028
ALPHA_PER_K = 0.00393  # its temperature coefficient at 20 °C, IEC 60028
COLDEST_C, HOTTEST_C = -60.0, 200.0  # where the straight line is near enough; common practice
MIL_MM = 0.0254
CMIL_PER_A = 700.0
_AUGHTS = re.compile(r"0{1,4}")
_NUMBER = re.compile(r"[1-9][0-9]?")
_SLASH = re.compile(r"([1-4])/0")


@dataclass(frozen=True)
class Table:
    """A published table of what wires may carry, in A by gauge.

    An empty ``limits`` is the rule of 700 circular mils an ampere, which knows every gauge.
    """

    code: str
    name: str
    source: str
    limits: Mapping[int, float] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class Allowed:
    """What a table lets a wire carry; ``listed`` is the gauge whose line was read."""

    limit_a: float
    listed: int
    table: Table


def _listed(*amperes: float) -> Mapping[int, float]:
    return MappingProxyType(dict(zip((30, 28, 26, 24, 22, 20, 18), amperes, strict=True)))


MACHINE = Table(
    "machine",
    "machine wiring, 75 °C",
    "MachMotion, wire-sizing table, 75 °C column; that it is NFPA 79's is from memory",
    _listed(0.5, 0.8, 1.0, 2.0, 3.0, 5.0, 7.0),
)
CHASSIS = Table(
    "chassis",
    "chassis wiring, free air",
    "Handbook of Electronic Tables and Formulas, as tabulated by HyperPhysics and UCAR",
    _listed(0.86, 1.4, 2.2, 3.5, 7.0, 11.0, 16.0),
)
CMIL = Table("cmil", "700 circular mils an ampere", "UCAR, wire-size table")
DEFAULT = MACHINE  # a closed metal hilt
UPPER = CHASSIS  # never more than this: free air only
TABLES: Mapping[str, Table] = MappingProxyType({t.code: t for t in (MACHINE, CHASSIS, CMIL)})


def gauge_number(gauge: int | str) -> int:
    """AWG as a whole number: 0000 (also 4/0) is -3, 000 -2, 00 -1, 0 is 0.

    Source: ASTM B258, as quoted by published wire tables.

    :raises ValueError: where it is no gauge from 0000 to 56.
    """
    number = _from_text(gauge) if isinstance(gauge, str) else gauge
    if isinstance(number, bool) or number not in range(THICKEST, THINNEST + 1):
        raise ValueError(
            f"There is no wire gauge {gauge!r}: write a whole AWG number up to {THINNEST},"
            " or 0 to 0000."
        )
    return int(number)


def _from_text(text: str) -> float:
    plain = text.upper().replace("AWG", "", 1).strip()
    if _AUGHTS.fullmatch(plain):
        return 1 - len(plain)
    if slash := _SLASH.fullmatch(plain):
        return 1 - int(slash[1])
    return int(plain) if _NUMBER.fullmatch(plain) else nan


def awg_diameter_mm(gauge: int | str) -> float:
    """Diameter of the bare copper: d = 0.127 mm × 92^((36 − n) / 39).

    Source: ASTM B258, as quoted by published wire tables.
    """
    return float(0.127 * 92.0 ** ((36 - gauge_number(gauge)) / 39))


def awg_area_mm2(gauge: int | str) -> float:
    """Cross-section of the copper: A = π d² / 4. Source: ASTM B258, as for the diameter."""
    return pi * awg_diameter_mm(gauge) ** 2 / 4


def circular_mils(gauge: int | str) -> float:
    """Area as the square of the diameter in mils (1 mil = 0.0254 mm). Source: ASTM B258."""
    return (awg_diameter_mm(gauge) / MIL_MM) ** 2


def resistance_per_m_ohm(gauge: int | str, temperature_c: float = 20.0) -> float:
    """Resistance of one metre: ρ20 × (1 + α (T − 20)) / A, for solid annealed copper.

    Source: IEC 60028 (ρ20 = 1.7241e-8 Ω·m, α = 0.00393 per K). Stranded wire of the same gauge
    reads some 2 to 4 % more (from memory).
    """
    warmth = 1 + ALPHA_PER_K * (_temperature(temperature_c) - 20)
    return RHO_20_OHM_M * warmth / (awg_area_mm2(gauge) * 1e-6)


def _temperature(celsius: float) -> float:
    if not COLDEST_C <= finite(celsius, "The wire's temperature in °C") <= HOTTEST_C:
        raise ValueError(
            f"The wire's temperature must lie between {COLDEST_C:g} and {HOTTEST_C:g} °C,"
            f" not {celsius:g}."
        )
    return celsius


def resistance_ohm(gauge: int | str, length_m: float, temperature_c: float = 20.0) -> float:
    """Resistance of a length of wire: R = (resistance of one metre) × L. Source: IEC 60028."""
    length = not_negative(length_m, "The wire's length in m")
    return resistance_per_m_ohm(gauge, temperature_c) * length


def out_and_back_v(per_m_ohm: float, one_way_m: float, current_a: float) -> float:
    """Drop over a pair of conductors of known resistance: V = 2 × L × I × (resistance of 1 m).

    Source: Ohm's law, as worked in electrician2.com, lesson on voltage drop.
    """
    length = not_negative(one_way_m, "The length one way in m")
    current = not_negative(current_a, "The current in A")
    return 2 * length * current * positive(per_m_ohm, "The resistance of one metre in Ω")


def voltage_drop_v(
    gauge: int | str, one_way_m: float, current_a: float, temperature_c: float = 20.0
) -> float:
    """Drop out and back: V = 2 × L × I × (resistance of 1 m). Source: IEC 60028, Ohm's law."""
    return out_and_back_v(resistance_per_m_ohm(gauge, temperature_c), one_way_m, current_a)


def knows(table: Table, gauge: int | str) -> bool:
    """Whether the table lists this gauge or a thinner one.

    Source: the table's own; reading the next thinner line is common practice, no source.
    """
    number = gauge_number(gauge)
    return not table.limits or number <= max(table.limits)


def allowed(gauge: int | str, table: Table = DEFAULT) -> Allowed:
    """What the table lets this gauge carry, or the next thinner that it lists.

    Source: the table's own, named in it. Reading the next thinner line is on the safe side:
    common practice, no source. The rule of 700 circular mils: I = (d in mils)² / 700.

    :raises ValueError: where the table lists nothing as thin.
    """
    number = gauge_number(gauge)
    if not table.limits:
        return Allowed(circular_mils(number) / CMIL_PER_A, number, table)
    if not knows(table, number):
        raise ValueError(
            f"The table “{table.name}” ends at {max(table.limits)} AWG: it says nothing about"
            f" {number} AWG. Take a thicker wire, or the table “{CMIL.name}”."
        )
    listed = min(known for known in table.limits if known >= number)
    return Allowed(table.limits[listed], listed, table)


def current_limit_a(gauge: int | str, table: Table = DEFAULT) -> float:
    """The table's limit in A for this gauge, or for the next thinner that it lists.

    Source: the table's own, named in it.

    :raises ValueError: where the table lists nothing as thin.
    """
    return allowed(gauge, table).limit_a
