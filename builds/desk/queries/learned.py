"""The hours that the shop reckons with: guesses, and what its finished builds have taught."""

from dataclasses import dataclass
from datetime import datetime

from builds.progress.states import ON_THE_RULE, Kind
from builds.progress.worked import Past, past_by_kind
from builds.queue.queries.learned import NOTHING, rework_of, stage_hours, stuck_of
from shop.diary import learned
from shop.diary.forecast import quantiles
from shop.diary.learned import Learned, LearnedExtra
from shop.diary.queries import Calendar

RUNS = 4000


@dataclass(frozen=True)
class StageHours:
    """One stage of a kind of job."""

    label: str
    known: Learned

    @property
    def is_guess(self) -> bool:
        """Whether no build of the shop's own stands behind it."""
        return self.known.builds == 0


@dataclass(frozen=True)
class KindHours:
    """One kind of job: its stages, the whole, and what comes on top in some builds."""

    label: str
    builds: int
    stages: list[StageHours]
    half_h: float
    most_h: float  # four in five take no longer
    rework: LearnedExtra
    stuck: LearnedExtra

    @property
    def is_young(self) -> bool:
        """Whether too few builds are finished to go by."""
        return self.builds < learned.ENOUGH


def hours_learned(calendar: Calendar, now: datetime) -> list[KindHours]:
    """Every kind of job, by the shop's finished builds."""
    past = past_by_kind(calendar, now)
    return [_kind(kind, past.get(kind.value, NOTHING)) for kind in Kind]


def _kind(kind: Kind, past: Past) -> KindHours:
    stages = [StageHours(str(stage.label), stage_hours(kind, stage, past)) for stage in ON_THE_RULE]
    spreads = [(stage.known.spread.median_h, stage.known.spread.log_sd) for stage in stages]
    half, most = quantiles(spreads, (0.5, 0.8), RUNS)
    return KindHours(
        str(kind.label), past.builds, stages, half, most, rework_of(past), stuck_of(past)
    )
