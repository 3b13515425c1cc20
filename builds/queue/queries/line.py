"""Reads the line: every open build with what is left of it, and the people who work on it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta

from django.db.models import Sum

from builds.dispatch.queries import day_of, parcel_of
from builds.progress.models import Build, Stretch
from builds.progress.queries import open_builds
from builds.progress.states import ON_THE_RULE, Kind, Leaves, Spent, State
from builds.progress.worked import OVER_TIME, is_doubtful, likely_end
from builds.proving.models import SheetLine, Timer
from builds.proving.states import Waiting as Runs
from builds.queue.models import LinePlace, StageLimit
from builds.queue.queries.dues import Due, dues
from builds.queue.queries.learned import Known, known
from builds.queue.queries.ready import ready_since
from builds.queue.queries.waits import Waiting, lacking_at_first, usual, waiting
from builds.queue.values import Line, Worker
from shop.diary.forecast import Job, Limits, Stage, Wait
from shop.diary.queries import Calendar, calendar, people_hours
from shop.house.queries import house
from shop.web.reading import keeping

SHORT = (Kind.REPAIR, Kind.WARRANTY)
LAST = 1_000_000  # behind every place that was set


def in_line(builds: Iterable[Build], due: Mapping[int, Due]) -> list[Build]:
    """Builds in the order in which the shop takes them.

    As the shop has set it; what it has not placed comes after, by the days due, then by number.
    """
    found = list(builds)
    places = dict(LinePlace.objects.filter(build__in=found).values_list("build", "place"))

    def stands(build: Build) -> tuple[int, date, int]:
        day = due[build.pk].day if build.pk in due else date.max
        return (places.get(build.pk, LAST), day, build.number)

    return sorted(found, key=stands)


def is_placed() -> bool:
    """Whether the shop has set a place in the line for any build that is open."""
    return LinePlace.objects.filter(build__in=open_builds()).exists()


def line(now: datetime) -> Line:
    """The whole line as plain values, in a constant number of queries."""
    with keeping():
        return _Reading(now).line()


class _Reading:
    """One reading of the line; what it reads belongs together."""

    def __init__(self, now: datetime) -> None:
        self.now = now
        self.house = house()
        self.calendar = calendar(self.house)
        builds = list(open_builds())
        ids = [build.pk for build in builds]
        self.dues: dict[int, Due] = dues(ids, self.calendar, now)
        self.builds = in_line(builds, self.dues)
        self.known: Known = known(self.calendar, now)
        self.waits = waiting(self.builds, self.known, self.calendar, now)
        self.worked = _worked(ids, self.calendar, now)
        self.runs = _without_hands(ids)
        self.packed = {
            pk: day_of(parcel, self.calendar, now)
            for pk, parcel in parcel_of(ids).items()
            if not parcel.left_at
        }
        self.ready = {
            pk: self.calendar.today(since) for pk, since in ready_since(self.builds).items()
        }

    def line(self) -> Line:
        workers = tuple(
            Worker(each.person.pk, each.person.name, dict(each.week), each.days_off,
                   each.extra_hours)
            for each in people_hours(self.calendar)
            if each.person.at_bench
        )  # fmt: skip
        limits = Limits(
            self.house.most_opened,
            tuple(StageLimit.objects.order_by("stage").values_list("stage", "most")),
        )
        due = {pk: found.day for pk, found in self.dues.items()}
        facts = (
            self.calendar.today(self.now), self.calendar.cut_off, self.calendar.zone.key,
            sorted(self.calendar.hours.items()), sorted(self.calendar.dispatch_weekdays),
            self.calendar.closures, self.calendar.country, self.calendar.region,
            [(each.pk, sorted(each.week.items()), sorted(each.off), sorted(each.extra.items()))
             for each in workers],
            limits, self.house.planned_percent, self.house.least_odds_percent,
            sorted((pk, found.day, found.is_waiting) for pk, found in self.dues.items()),
            [self._facts(build) for build in self.builds],
        )  # fmt: skip
        return Line(
            now=self.now,
            calendar=self.calendar,
            workers=workers,
            jobs=tuple(self._job(build) for build in self.builds),
            limits=limits,
            share=self.house.planned_percent / 100,
            due=due,
            lines=self._deliveries(),
            new={kind.value: self._new(kind) for kind in Kind},
            finished=dict(self.known.builds),
            kinds={build.pk: build.kind for build in self.builds},
            moving=frozenset(pk for pk, found in self.dues.items() if found.is_waiting),
            collected=frozenset(b.pk for b in self.builds if b.leaves_by != Leaves.POST),
            packed=self.packed,
            ready=self.ready,
            facts=facts,
        )

    def _job(self, build: Build) -> Job:
        ahead = [each for each in ON_THE_RULE if _is_left(each, build)]
        return Job(
            build.pk,
            tuple(self._stage(build, stage) for stage in ahead),
            is_opened=build.state not in {State.BOOKED, State.INTAKE},
        )

    def _stage(self, build: Build, stage: State) -> Stage:
        waits = tuple(one.wait for one in self._waits(build, stage))
        return Stage(
            stage,
            self.known.stages[build.kind, stage].spread,
            worked_h=self.worked.get((build.pk, stage), 0.0) / 60,
            rest_h=self.runs.left_h(build, self.now) if stage == State.TEST else 0.0,
            waits=waits,
            extras=self.known.extras(build.kind, stage),
        )

    def _waits(self, build: Build, stage: State) -> list[Waiting]:
        """What must end before a stage; a build that is not here yet waits before intake."""
        first = State.INTAKE if build.state == State.BOOKED else State(build.state)
        asked = {stage} | ({State.BOOKED} if stage == first else set())
        return [one for one in self.waits[build.pk] if one.stage in asked]

    def _new(self, kind: Kind) -> tuple[Stage, ...]:
        first = tuple(usual(cause, self.known) for cause in lacking_at_first(kind, self.house))
        return tuple(
            Stage(
                stage,
                self.known.stages[kind, stage].spread,
                rest_h=self.runs.of(kind) if stage == State.TEST else 0.0,
                waits=first if stage == State.INTAKE else (),
                extras=self.known.extras(kind, stage),
            )
            for stage in ON_THE_RULE
        )

    def _deliveries(self) -> dict[int, tuple[tuple[int, Wait], ...]]:
        found: dict[int, list[tuple[int, Wait]]] = defaultdict(list)
        for build in self.builds:
            for one in self.waits[build.pk]:
                if one.line is not None:
                    found[one.line].append((build.pk, one.wait))
        return {line: tuple(waits) for line, waits in found.items()}

    def _facts(self, build: Build) -> tuple[object, ...]:
        job = self._job(build)
        return (
            build.pk, build.state, build.kind, job.is_opened,
            [(stage.code, stage.spread, stage.extras) for stage in job.stages],
            [one.fact for one in self.waits[build.pk]],
            [self.worked.over.get((build.pk, stage.value)) for stage in ON_THE_RULE],
            self.worked.running.get(build.pk), self.runs.facts(build),
            build.leaves_by, self.packed.get(build.pk), self.ready.get(build.pk),
        )  # fmt: skip


def _is_left(stage: State, build: Build) -> bool:
    here = State.INTAKE if build.state == State.BOOKED else State(build.state)
    return ON_THE_RULE.index(stage) >= ON_THE_RULE.index(here)


class _Worked:
    """Minutes of the work itself, by build and stage: what is over, and what runs."""

    def __init__(
        self, over: dict[tuple[int, str], float], running: dict[int, tuple[str, datetime]]
    ) -> None:
        self.over, self.running = over, running
        self.sums: dict[tuple[int, str], float] = dict(over)

    def get(self, key: tuple[int, str], default: float) -> float:
        return self.sums.get(key, default)


def _worked(ids: list[int], calendar: Calendar, now: datetime) -> _Worked:
    mine = Stretch.objects.filter(build__in=ids, spent_on=Spent.WORK)
    ended = mine.filter(ended_at__isnull=False).order_by()
    sums = ended.values_list("build", "stage").annotate(Sum("minutes"))
    over = {(build, stage): float(minutes or 0) for build, stage, minutes in sums}
    for stretch in ended.filter(said_at=None, minutes__gt=OVER_TIME / timedelta(minutes=1)):
        if is_doubtful(stretch, calendar, now):
            over[stretch.build_id, stretch.stage] -= _too_much(stretch, calendar)
    found = _Worked(
        over,
        {
            build: (stage, begun)
            for build, stage, begun in mine.filter(ended_at=None).values_list(
                "build", "stage", "begun_at"
            )
        },
    )
    for build, (stage, begun) in found.running.items():
        # A timer that was forgotten must not eat up the work that is left.
        minutes = min((now - begun) / timedelta(minutes=1), 8 * 60)
        found.sums[build, stage] = found.sums.get((build, stage), 0.0) + minutes
    return found


def _too_much(stretch: Stretch, calendar: Calendar) -> float:
    """The minutes of a forgotten timer after the day on which it was started."""
    likely = (likely_end(stretch, calendar) - stretch.begun_at) / timedelta(minutes=1)
    return max((stretch.minutes or 0) - likely, 0.0)


class _WithoutHands:
    """Burn-in and rest: what the shop's sheet asks for, and what has run of it."""

    def __init__(
        self, full: dict[str, int], short: dict[str, int], timers: dict[int, list[Timer]]
    ) -> None:
        self.full, self.short, self.timers = full, short, timers

    def minutes(self, kind: str) -> dict[str, int]:
        """What runs of a kind of job; a blade alone has no cell to rest."""
        if kind == Kind.BLADE:
            return {}
        return self.short if kind in SHORT else self.full

    def of(self, kind: str) -> float:
        """Hours that a build of a kind needs."""
        return sum(self.minutes(kind).values()) / 60

    def left_h(self, build: Build, now: datetime) -> float:
        """Hours that are left for a build."""
        left = dict(self.minutes(build.kind))
        for timer in self.timers.get(build.pk, ()):
            if not timer.is_cut_short and timer.what in left:
                to_run = max((timer.over_at - now) / timedelta(minutes=1), 0.0)
                left[timer.what] = min(left[timer.what], round(to_run))
        return sum(left.values()) / 60

    def facts(self, build: Build) -> tuple[object, ...]:
        """What it is made from, without the passing of time."""
        seen = [(timer.pk, timer.stopped_at) for timer in self.timers.get(build.pk, ())]
        return (sorted(self.minutes(build.kind).items()), seen)


def _without_hands(ids: list[int]) -> _WithoutHands:
    codes = [Runs.BURN_IN.value, Runs.REST.value]
    asked = SheetLine.objects.filter(code__in=codes, retired=False, minutes__gt=0)
    lines = list(asked.values_list("code", "minutes", "in_short"))
    timers: dict[int, list[Timer]] = defaultdict(list)
    for timer in Timer.objects.filter(build__in=ids, build__state=State.TEST).order_by("pk"):
        timers[timer.build_id].append(timer)
    return _WithoutHands(
        {code: minutes or 0 for code, minutes, _in_short in lines},
        {code: minutes or 0 for code, minutes, in_short in lines if in_short},
        timers,
    )
