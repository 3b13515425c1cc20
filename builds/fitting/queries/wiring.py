"""What the wiring list shows: wires, what each gauge comes to, what can be proposed."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from uuid import UUID, uuid4

from django.db.models import QuerySet

from builds.fitting.loads import judged
from builds.fitting.models import WireRun
from builds.fitting.queries.listed import listed
from builds.fitting.queries.power import wants_of
from builds.fitting.queries.usual_runs import Usual, usual_runs
from builds.fitting.values import Wire
from builds.hilts.queries import shapes
from builds.progress.models import Build
from shop.house.queries import house
from shop.stores.units import quantity_shown, shown


@dataclass(frozen=True)
class WireLine:
    """A wire with the token of its tick."""

    run: WireRun
    token: UUID
    unit: str

    @property
    def gauge(self) -> str:
        """Its gauge as it is written."""
        return gauge_shown(self.run.gauge)

    @property
    def one_way(self) -> str:
        """Its length one way."""
        return shown(self.run.length_mm, self.unit)

    @property
    def cut_to(self) -> str:
        """What each piece is cut to."""
        return shown(self.run.cut_mm, self.unit)


@dataclass(frozen=True)
class Gauge:
    """What all wires of a gauge come to."""

    gauge: str
    pieces: int
    length: str


@dataclass(frozen=True)
class Wiring:
    """The wiring list of a build."""

    lines: Sequence[WireLine]
    gauges: Sequence[Gauge]
    usual: Usual
    proposed: Sequence[tuple[Wire, str, str]]  # with gauge and length as shown

    @property
    def to_cut(self) -> int:
        """How many are not cut yet."""
        return sum(1 for line in self.lines if line.run.cut_at is None)

    @property
    def has_guesses(self) -> bool:
        """Whether a length of it was worked out and nobody has looked at it."""
        return any(line.run.is_guess for line in self.lines)


def wiring(build: Build, unit: str) -> Wiring:
    """The wiring list of a build, in a constant number of queries."""
    runs = list(wires_of(build))
    shape = shapes([build.hilt])[build.hilt.pk] if build.hilt else None
    power = judged(wants_of([build.pk], house())[build.pk])
    usual = usual_runs(listed([build.pk]).get(build.pk, []), shape, runs, power)
    return Wiring(
        lines=[WireLine(run, uuid4(), unit) for run in runs],
        gauges=_gauges(runs, unit),
        usual=usual,
        proposed=[
            (wire, gauge_shown(wire.gauge), shown(wire.length_mm, unit)) for wire in usual.wires
        ],
    )


def wires_of(build: Build) -> QuerySet[WireRun]:
    """The wires on the list of a build."""
    return build.wires.filter(ended_at=None).select_related("part").order_by("id")


def _gauges(runs: Sequence[WireRun], unit: str) -> list[Gauge]:
    by_gauge = groupby(sorted(runs, key=_gauge), key=_gauge)
    return [
        Gauge(gauge_shown(gauge), sum(r.pieces for r in some), _in_all(some, unit))
        for gauge, some in ((gauge, list(each)) for gauge, each in by_gauge)
    ]


def _in_all(runs: Sequence[WireRun], unit: str) -> str:
    length = sum(run.cut_in_all_mm for run in runs)
    return shown(length, unit) if unit == "in" else quantity_shown(length, "mm")


def _gauge(run: WireRun) -> int:
    return run.gauge


def gauge_shown(gauge: int) -> str:
    """A gauge as it is written: 22; 0 to 0000 where it is thicker than 1."""
    return str(gauge) if gauge > 0 else "0" * (1 - gauge)
