"""What goes into the sums of power and what comes out: frozen values.

Every current is compared as it was computed, never as it is shown: rounding turns no red line
green. Exactly at a limit passes, binary noise forgiven.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from builds.engineering import wire
from builds.engineering.findings import Finding
from builds.engineering.given import NOISE, counted, finite, fraction, not_negative, positive

NEAR = 0.8  # above this share of a limit it is near: common practice, no source
LEAST_V = 3.3  # at a board's or strip's pads under load: common practice, no source
IDLE_LIMIT_DAYS = 21.0  # 6 mA from 3000 mAh, where the bench sheet fails a hilt; a shop's setting
WARM_C = 60.0  # copper in a closed hilt: common practice, no source


def over(current_a: float, limit_a: float) -> bool:
    """Whether a limit is broken by more than the noise of binary fractions."""
    return current_a > limit_a * (1 + NOISE)


class Basis(StrEnum):
    """How the loads of a case came about."""

    OWN = "own"  # one of the build's slots, at the build's brightness cap
    PAPER = "paper"  # full white, as nobody has set it


@dataclass(frozen=True)
class Rating:
    """What a part carries. ``carries``: the loads that pass through it, empty for all.

    ``upper_a``: the bound in free air, where its table has one.
    """

    name: str
    limit_a: float
    source: str
    upper_a: float | None = None
    carries: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse what no part can carry."""
        positive(self.limit_a, f"The limit of {self.name} in A")
        if self.upper_a is not None and not finite(self.upper_a, "The bound") >= self.limit_a:
            raise ValueError(
                f"The bound of {self.name} in free air must be {self.limit_a:g} A or more."
            )


@dataclass(frozen=True)
class Cell:
    """The cell. ``usable``: the share of its capacity that a hilt gets out of it."""

    name: str
    capacity_mah: float
    rating: Rating
    nominal_v: float = 3.6
    full_v: float = 4.2
    usable: float = 0.8
    self_discharge_per_month: float = 0.02

    def __post_init__(self) -> None:
        """Refuse what is no cell."""
        positive(self.capacity_mah, f"The capacity of {self.name} in mAh")
        positive(self.nominal_v, f"The nominal voltage of {self.name}")
        fraction(self.usable, f"The usable share of {self.name}")
        fraction(self.self_discharge_per_month, f"The self-discharge of {self.name} a month")
        if not finite(self.full_v, f"The full voltage of {self.name}") >= self.nominal_v:
            raise ValueError(f"{self.name} when full must have {self.nominal_v:g} V or more.")


@dataclass(frozen=True)
class Load:
    """What takes current. ``duty``: the share of the time that it is on, for typical runtime."""

    name: str
    worst_a: float
    typical_a: float
    idle_a: float = 0.0
    duty: float = 1.0

    def __post_init__(self) -> None:
        """Refuse what no load takes."""
        not_negative(self.typical_a, f"The typical current of {self.name} in A")
        not_negative(self.idle_a, f"The idle current of {self.name} in A")
        fraction(self.duty, f"The share of time that {self.name} is on")
        not_negative(self.worst_a, f"The worst current of {self.name} in A")
        if over(max(self.typical_a, self.idle_a), self.worst_a):
            raise ValueError(
                f"The worst current of {self.name} cannot be less than its typical or idle one."
            )

    @property
    def mean_a(self) -> float:
        """Over time: typical while it is on, idle otherwise."""
        return self.duty * self.typical_a + (1 - self.duty) * self.idle_a


@dataclass(frozen=True)
class Run:
    """A pair of wires, out and back. ``parallel``: wires side by side that share the current."""

    name: str
    gauge: int | str
    one_way_m: float
    carries: tuple[str, ...] = ()
    parallel: int = 1
    temperature_c: float = WARM_C
    table: wire.Table = wire.DEFAULT

    def __post_init__(self) -> None:
        """Refuse what is no wire."""
        wire.resistance_ohm(self.gauge, self.one_way_m, self.temperature_c)
        counted(self.parallel, f"Wires side by side in {self.name}")


@dataclass(frozen=True)
class Path:
    """All that the current passes. Runs stand in order from the cell outwards."""

    runs: tuple[Run, ...] = ()
    ratings: tuple[Rating, ...] = ()


@dataclass(frozen=True)
class Case:
    """What may be on at one time: a slot at the build's cap, or full white on paper."""

    name: str
    loads: tuple[Load, ...]
    basis: Basis


@dataclass(frozen=True)
class Limit:
    """A limit beside the worst current through it. ``table``: a wire's, and the line read."""

    name: str
    current_a: float
    limit_a: float
    source: str
    upper_a: float | None = None
    table: str = ""

    @property
    def margin_a(self) -> float:
        """What is left; below zero where the limit is broken."""
        return self.limit_a - self.current_a

    @property
    def ok(self) -> bool:
        """Whether it holds. Exactly at the limit does."""
        return not over(self.current_a, self.limit_a)

    @property
    def near(self) -> bool:
        """Whether it holds with less than a fifth to spare."""
        return self.ok and over(self.current_a, NEAR * self.limit_a)

    @property
    def past_upper(self) -> bool:
        """Whether even the bound in free air is passed."""
        return self.upper_a is not None and over(self.current_a, self.upper_a)


@dataclass(frozen=True)
class Drop:
    """What a run loses at the worst current, and what is left at its far end.

    ``left_v`` starts at the cell's nominal voltage and counts the runs before it; the cell's own
    resistance and contacts come on top.
    """

    name: str
    current_a: float
    drop_v: float
    resistance_ohm: float
    left_v: float

    @property
    def low(self) -> bool:
        """Whether too little is left for a board or a strip."""
        return self.left_v < LEAST_V * (1 - NOISE)


@dataclass(frozen=True)
class Budget:
    """Currents, times, limits and drops of one case."""

    worst_a: float
    typical_a: float
    idle_a: float
    runtime_worst_h: float
    runtime_typical_h: float
    idle_days: float
    limits: tuple[Limit, ...]
    drops: tuple[Drop, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Verdict:
    """The whole build: a budget by the name of each case, the worst case, all that was found."""

    budgets: Mapping[str, Budget]
    worst: str
    findings: tuple[Finding, ...]
