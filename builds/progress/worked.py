"""Reads the time worked on builds: what runs, what was forgotten, what a build has come to."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import QuerySet, Sum

from builds.progress.models import Build, Move, Stretch
from builds.progress.states import FINISHED, STAGES, Kind, Spent, State
from shop.diary.queries import Calendar
from shop.web.reading import each_once

OVER_TIME = timedelta(hours=2)  # after closing; a timer that runs longer was likely forgotten

NEWEST = 100  # finished builds of a kind that are learned from


def stretches() -> QuerySet[Stretch]:
    """Stretches with all that a line of them shows."""
    return Stretch.objects.select_related("build__hilt", "by", "said_by")


def running() -> list[Stretch]:
    """What runs at this moment, the oldest first: at most one a person."""
    return list(stretches().filter(ended_at=None).order_by("begun_at", "pk"))


def running_of(build_ids: Iterable[int]) -> dict[int, list[Stretch]]:
    """Build id → what runs on it."""
    return each_once(running_of, _running_of, build_ids)


def _running_of(build_ids: list[int]) -> dict[int, list[Stretch]]:
    found: dict[int, list[Stretch]] = defaultdict(list)
    for stretch in stretches().filter(ended_at=None, build__in=build_ids).order_by("begun_at"):
        found[stretch.build_id].append(stretch)
    return dict(found)


def likely_end(stretch: Stretch, calendar: Calendar) -> datetime:
    """The end of the working day on which a stretch began; of that calendar day, after hours."""
    begun = stretch.begun_at.astimezone(calendar.zone)
    day = begun.date()
    if calendar.is_working_day(day):
        _opens, closes = calendar.hours[day.weekday()]
        closing = datetime.combine(day, closes, calendar.zone)
        if begun < closing:
            return closing
    return datetime.combine(day + timedelta(days=1), datetime.min.time(), calendar.zone)


def is_doubtful(stretch: Stretch, calendar: Calendar, now: datetime) -> bool:
    """Whether a timer ran on after the day was over, and nobody has said since how long it was."""
    if stretch.said_at:
        return False
    return (stretch.ended_at or now) > likely_end(stretch, calendar) + OVER_TIME


def forgotten(calendar: Calendar, now: datetime) -> list[Stretch]:
    """Timers that were forgotten, running or stopped late, and not yet asked about."""
    recent = stretches().filter(said_at=None, build__state__in=STAGES)
    return [each for each in recent.order_by("begun_at") if is_doubtful(each, calendar, now)]


def is_rework(build: Build) -> bool:
    """Whether the stage that a build is in was done before, and it was sent back to it."""
    back = Move.objects.filter(build=build, undoes=None).exclude(caused_in="")
    undone = Move.objects.filter(build=build, undoes__isnull=False).values("undoes")
    reached = back.exclude(pk__in=undone).values_list("from_state", flat=True)
    here = STAGES.index(State(build.state))
    return any(here <= STAGES.index(State(state)) for state in reached)


def minutes_by_stage(build_id: int) -> dict[tuple[str, str], int]:
    """Stage and what it was spent on → minutes of a build that are over."""
    over = Stretch.objects.filter(build=build_id, ended_at__isnull=False).order_by()
    sums = over.values_list("stage", "spent_on").annotate(Sum("minutes"))
    return {(stage, spent_on): minutes for stage, spent_on, minutes in sums}


@dataclass(frozen=True)
class Past:
    """The finished builds of one kind that were timed: how many, and their hours."""

    builds: int
    work_h: dict[str, list[float]]  # by stage
    rework_h: list[float]  # of the builds that had it
    stuck_h: list[float]


def past_by_kind(calendar: Calendar, now: datetime) -> dict[str, Past]:
    """Kind → the hours of its newest finished builds, for those kinds that have any."""
    found = {kind.value: past_of(kind, calendar, now) for kind in Kind}
    return {kind: past for kind, past in found.items() if past.builds}


def past_of(kind: str, calendar: Calendar, now: datetime) -> Past:
    """The hours of the newest finished builds of a kind, without what is in doubt.

    So many are enough to know what a stage takes, and a shop of ten years works otherwise today.
    """
    finished = Build.objects.filter(kind=kind, state__in=FINISHED).order_by("-state_since", "-pk")
    newest = list(finished.values_list("pk", flat=True)[:NEWEST])
    spent: dict[tuple[int, str, str], float] = defaultdict(float)
    for stretch in Stretch.objects.filter(build__in=newest, ended_at__isnull=False):
        if not is_doubtful(stretch, calendar, now):
            key = (stretch.build_id, stretch.stage, stretch.spent_on)
            spent[key] += (stretch.minutes or 0) / 60
    return _past(spent)


def _past(spent: dict[tuple[int, str, str], float]) -> Past:
    work: dict[str, list[float]] = defaultdict(list)
    apart: dict[str, dict[int, float]] = {Spent.REWORK: {}, Spent.STUCK: {}}
    for (build, stage, spent_on), hours in spent.items():
        if spent_on == Spent.WORK:
            work[stage].append(hours)
        else:
            apart[spent_on][build] = apart[spent_on].get(build, 0.0) + hours
    builds = len({build for build, _stage, _spent_on in spent})
    rework, stuck = apart[Spent.REWORK], apart[Spent.STUCK]
    return Past(builds, dict(work), list(rework.values()), list(stuck.values()))
