"""What the bench shows of the time worked: what runs, what a build came to, what is usual."""

from dataclasses import dataclass
from datetime import datetime
from uuid import uuid4

from builds.progress.models import Build, Stretch
from builds.progress.states import ON_THE_RULE, Spent
from builds.progress.worked import (
    is_doubtful,
    is_rework,
    likely_end,
    past_of,
    running,
    stretches,
)
from shop.diary import learned
from shop.diary.queries import Calendar
from shop.people.models import User


@dataclass(frozen=True)
class Running:
    """A timer that runs."""

    stretch: Stretch
    minutes: int
    is_mine: bool
    is_doubtful: bool


@dataclass(frozen=True)
class Line:
    """One stretch of a build; ``likely`` is how many minutes it was, if it was forgotten."""

    stretch: Stretch
    minutes: int
    likely: int
    is_doubtful: bool
    may_put_right: bool


@dataclass(frozen=True)
class Stage:
    """What one stage took, and what is usual for it."""

    label: str
    minutes: int
    apart: int  # rework and stuck joints
    usual_h: float
    builds: int  # behind what is usual
    is_here: bool  # the stage that the build is in

    @property
    def is_guess(self) -> bool:
        """Whether the shop has no finished build of its own to go by."""
        return self.builds == 0


@dataclass(frozen=True)
class Worked:
    """The time worked on a build."""

    mine: Stretch | None
    lines: list[Line]
    stages: list[Stage]
    can_begin: bool
    is_rework: bool
    token: str

    @property
    def shown(self) -> list[Stage]:
        """The stages of which there is something to say: worked in, or to be worked in now."""
        return [stage for stage in self.stages if stage.minutes or stage.apart or stage.is_here]

    @property
    def minutes(self) -> int:
        """All that is over and all that runs."""
        return sum(line.minutes for line in self.lines)


def timers(by: User, calendar: Calendar, now: datetime) -> list[Running]:
    """What runs in the shop, one's own first."""
    found = [
        Running(each, _minutes(each, now), each.by_id == by.pk, is_doubtful(each, calendar, now))
        for each in running()
    ]
    return sorted(found, key=lambda run: not run.is_mine)


def worked(build: Build, by: User, calendar: Calendar, now: datetime) -> Worked:
    """The time worked on a build, the newest first."""
    found = list(stretches().filter(build=build).order_by("-begun_at", "-pk"))
    mine = [each for each in found if each.ended_at is None and each.by_id == by.pk]
    return Worked(
        mine=mine[0] if mine else None,
        lines=[_line(each, by, calendar, now) for each in found],
        stages=_stages(build, found, calendar, now),
        can_begin=build.state in ON_THE_RULE,
        is_rework=build.state in ON_THE_RULE and is_rework(build),
        token=str(uuid4()),
    )


def _minutes(stretch: Stretch, now: datetime) -> int:
    if stretch.minutes is not None:
        return stretch.minutes
    return max(int((now - stretch.begun_at).total_seconds() // 60), 0)


def _line(stretch: Stretch, by: User, calendar: Calendar, now: datetime) -> Line:
    minutes, likely = _minutes(stretch, now), _minutes(stretch, now)
    doubtful = is_doubtful(stretch, calendar, now)
    if doubtful:  # the end of its day is the likeliest
        likely = int((likely_end(stretch, calendar) - stretch.begun_at).total_seconds() // 60)
    return Line(stretch, minutes, likely, doubtful, by.is_owner or stretch.by_id == by.pk)


def _stages(build: Build, found: list[Stretch], calendar: Calendar, now: datetime) -> list[Stage]:
    past = past_of(build.kind, calendar, now)
    made = []
    for stage in ON_THE_RULE:
        here = [each for each in found if each.stage == stage]
        work = sum(_minutes(each, now) for each in here if each.spent_on == Spent.WORK)
        apart = sum(_minutes(each, now) for each in here if each.spent_on != Spent.WORK)
        hours = past.work_h.get(stage, [])
        usual = learned.hours(stage, learned.guess(build.kind, stage), hours)
        median, is_here = usual.spread.median_h, stage == build.state
        made.append(Stage(str(stage.label), work, apart, median, usual.builds, is_here))
    return made
