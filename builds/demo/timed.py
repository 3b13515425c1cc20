"""Time worked in the demo: stretches of past stages, a timer that runs, one that was forgotten."""

from datetime import datetime, timedelta

from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.progress.actions import add_work, begin_work
from builds.progress.models import Build
from builds.progress.states import ON_THE_RULE, Spent, State
from shop.diary.learned import guess
from shop.people.models import User

LONGEST = 240  # minutes at a stretch
# How fast this workshop is beside the first guess, one build after the other.
PACES = (0.9, 1.15, 0.8, 1.05, 1.3, 0.95, 1.1)


def stage(build: Build, by: User, days: Days, ago: int) -> None:
    """Write down the work of the stage that a build leaves so many working days ago."""
    if build.state not in ON_THE_RULE:
        return
    pace = PACES[(build.number + len(build.state)) % len(PACES)]
    left = round(60 * pace * guess(build.kind, build.state).median_h)
    count = -(-left // LONGEST)
    for part in range(count):
        minutes = left // count
        ended = days.back(ago, 15, 35) - timedelta(hours=5) * (part % 2)
        _add(build, by, minutes, ended - timedelta(minutes=part), Spent.WORK, f"{part}")
    if build.state == State.TEARDOWN and build.number % 5 == 0:
        _add(build, by, 95, days.back(ago, 12, 10), Spent.STUCK, "stuck")


def _add(build: Build, by: User, minutes: int, ended: datetime, spent_on: str, mark: str) -> None:
    add_work(
        build.pk, minutes=minutes, stage=build.state, spent_on=spent_on,
        token=token("work", build.number, build.state, mark), by=by, now=ended,
    )  # fmt: skip


def at_present(crew: Crew, days: Days) -> None:
    """Jory is at an install; Oda's timer ran on since yesterday afternoon."""
    _begin(State.INSTALL, crew.jory, days, ago=0)
    _begin(State.TEARDOWN, crew.oda, days, ago=1)


def _begin(state: str, by: User, days: Days, ago: int) -> None:
    started = Build.objects.filter(state=state, started_at__isnull=False).order_by("number")
    build = started.first()
    if build:
        begun = days.now - timedelta(minutes=42) if ago == 0 else days.back(ago, 15, 20)
        begin_work(build.pk, token=token("timer", state), by=by, now=begun)
