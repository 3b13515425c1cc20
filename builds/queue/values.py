"""The line of builds as plain values: what a forecast is made from, and what may be tried on it.

Everything here is frozen and knows no table. ``reckoned`` walks a line; the other functions give
a changed copy of it: another order, a day worked more, days closed, more hands, parts that come
later, one more order.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time

from shop.diary import forecast
from shop.diary.calendar import Calendar, Closed
from shop.diary.forecast import (
    ODDS,
    Job,
    Leaving,
    Limits,
    Outlook,
    Person,
    Spread,
    Stage,
    Wait,
    day_by,
)
from shop.diary.spans import dispatch_days, hours_of, latest

GRID = tuple(step / 40 for step in range(41))  # of the odds; a moment is kept for each
HORIZON = 730  # days that the forecast sees
RUNS = 5000
NEW = 0  # the key of a job that nobody has ordered yet
PARTS, ANSWER, PAYMENT, ITEM, CARRIER, SHOP = (
    "parts", "answer", "payment", "item", "carrier", "shop",
)  # fmt: skip

Hours = tuple[time, time]


@dataclass(frozen=True)
class Worker:
    """When somebody at the bench works."""

    pk: int
    name: str
    week: Mapping[int, Hours] = field(hash=False)
    off: frozenset[date] = frozenset()
    extra: Mapping[date, Hours] = field(default_factory=dict, hash=False)


@dataclass(frozen=True)
class Line:
    """The builds in the order in which they are taken, and the shop that takes them."""

    now: datetime
    calendar: Calendar = field(hash=False)
    workers: tuple[Worker, ...]
    jobs: tuple[Job, ...]
    limits: Limits
    share: float
    due: Mapping[int, date] = field(hash=False)  # build → the day that is due
    lines: Mapping[int, tuple[tuple[int, Wait], ...]] = field(hash=False)  # purchase line → waits
    new: Mapping[str, tuple[Stage, ...]] = field(hash=False)  # kind → the stages of a new order
    finished: Mapping[str, int] = field(hash=False)  # kind → finished builds behind its hours
    kinds: Mapping[int, str] = field(default_factory=dict, hash=False)  # build → its kind
    moving: frozenset[int] = frozenset()  # while these wait for their customer, the day moves along
    collected: frozenset[int] = frozenset()  # these are fetched, on any working day
    packed: Mapping[int, date] = field(default_factory=dict, hash=False)  # build → its parcel's day
    ready: Mapping[int, date] = field(default_factory=dict, hash=False)  # to be fetched, since when
    facts: tuple[object, ...] = ()  # all that went in, without the passing of time

    @property
    def mark(self) -> str:
        """The same for the same facts."""
        return hashlib.sha256(repr(self.facts).encode()).hexdigest()

    @property
    def people(self) -> list[Person]:
        """The hours of everybody at the bench, as the forecast takes them."""
        return [
            hours_of(self.calendar, each.week, self.now, HORIZON, each.off, each.extra)
            for each in self.workers
        ]

    @property
    def leaving(self) -> Leaving:
        """The dispatch days that the forecast sees."""
        return dispatch_days(self.calendar, self.now, HORIZON)

    def calendar_of(self, key: int) -> Calendar:
        """The calendar with the days on which a build may go."""
        return self.calendar.collecting if key in self.collected else self.calendar

    def leaving_of(self, key: int) -> Leaving:
        """The days on which a build may go, as far as the forecast sees."""
        return dispatch_days(self.calendar_of(key), self.now, HORIZON)

    def is_done(self, key: int) -> bool:
        """Whether a build needs no hands any more: it lies packed, or stands ready."""
        return key in self.packed or key in self.ready


def reckoned(line: Line, runs: int = RUNS) -> dict[int, Outlook]:
    """Build → what is to be expected of it; its moments answer ``ODDS`` first, then ``GRID``."""
    walked = forecast.queue(
        [
            replace(job, promise_min=_latest(line, job.key))
            for job in line.jobs
            if not line.is_done(job.key)
        ],
        line.people,
        line.leaving,
        limits=line.limits,
        share=line.share,
        odds=(*ODDS, *GRID),
        runs=runs,
    )
    fetched = dispatch_days(line.calendar.collecting, line.now, HORIZON) if line.collected else None
    found = {
        outlook.key: _on(outlook, fetched) if fetched and outlook.key in line.collected else outlook
        for outlook in walked
    }
    return found | {job.key: _done(line, job.key) for job in line.jobs if line.is_done(job.key)}


def _on(outlook: Outlook, leaving: Leaving) -> Outlook:
    days = tuple(day_by(moment, leaving) for moment in outlook.finish_min)
    return replace(outlook, days=days)


def _done(line: Line, key: int) -> Outlook:
    """What needs no hands: a parcel leaves on its day, what stands ready is in time since then."""
    calendar, due = line.calendar_of(key), line.due.get(key)
    day, moment = line.ready.get(key), 0.0
    if key in line.packed:
        day = calendar.on_or_after(line.packed[key]) or line.packed[key]
        # Within the day's last minute, which rounding must not cross.
        moment = max((latest(calendar, day, line.now) or 0.0) - 1, 0.0)
    odds = None if due is None or day is None else float(day <= due)
    moments = (moment,) * len((*ODDS, *GRID))
    return _on(Outlook(key, moments, (), odds), line.leaving_of(key))


def _latest(line: Line, key: int) -> float | None:
    day = line.due.get(key)
    if day is None:
        return None
    # A day on which nothing leaves, as far back as there is one, cannot be kept any more.
    moment = latest(line.calendar_of(key), day, line.now)
    return -1.0 if moment is None else moment


def odds_by(moments: Sequence[float | None], latest_min: float) -> float:
    """The share of the runs that is finished by a moment, from the moments of ``GRID``."""
    seen = [moment for moment in moments if moment is not None]
    if not seen or latest_min < seen[0]:
        return 0.0
    if latest_min >= seen[-1]:
        return GRID[len(seen) - 1]
    above = next(at for at, moment in enumerate(seen) if moment > latest_min)
    low, high = seen[above - 1], seen[above]
    return GRID[above - 1] + (GRID[above] - GRID[above - 1]) * (latest_min - low) / (high - low)


def in_order(line: Line, keys: Sequence[int]) -> Line:
    """The same builds in another order; what is not named keeps its place behind the others."""
    at = {key: place for place, key in enumerate(keys)}
    jobs = sorted(line.jobs, key=lambda job: at.get(job.key, len(at)))
    return replace(line, jobs=tuple(jobs))


def with_extra_day(line: Line, person: int, day: date, hours: Hours) -> Line:
    """Somebody works on one day more."""
    workers = [
        replace(each, extra={**each.extra, day: hours}) if each.pk == person else each
        for each in line.workers
    ]
    return replace(line, workers=tuple(workers))


def with_closure(line: Line, first: date, last: date) -> Line:
    """The shop is closed from one day to another, both included.

    Nothing leaves, and nobody works but on a day that was written down as worked all the same.
    """
    closed = replace(line.calendar, closures=(*line.calendar.closures, Closed(first, last)))
    return replace(line, calendar=closed)


def with_hands(line: Line, hours: float, name: str = "") -> Line:
    """So many hours more of hands a working day, on whatever is in hand.

    They count as hours of whoever works most. As a person with builds of their own they would keep
    each of them for days, and hold up what stands before others.
    """
    busiest = max(line.workers, key=_minutes_a_week, default=None)
    if busiest is None:
        week = {
            day: _longer((span[0], span[0]), hours) for day, span in line.calendar.hours.items()
        }
        return replace(line, workers=(Worker(NEW, name, week),))
    week = {day: _longer(span, hours) for day, span in busiest.week.items()}
    workers = [replace(each, week=week) if each is busiest else each for each in line.workers]
    return replace(line, workers=tuple(workers))


def _minutes_a_week(worker: Worker) -> int:
    return sum(_minute(closes) - _minute(opens) for opens, closes in worker.week.values())


def _longer(span: Hours, hours: float) -> Hours:
    """A day that ends so much later; what goes beyond midnight is worked before it opens."""
    opens, closes = (_minute(moment) for moment in span)
    last = min(closes + round(hours * 60), 24 * 60 - 1)
    left = round(hours * 60) - (last - closes)
    return _at(max(opens - left, 0)), _at(last)


def _minute(moment: time) -> int:
    return moment.hour * 60 + moment.minute


def _at(minute: int) -> time:
    return time(minute // 60, minute % 60)


def with_late_parts(line: Line, purchase_line: int, days: int) -> Line:
    """What is awaited on one line of a purchase order comes so many days later."""
    late: dict[int, list[Wait]] = {}
    for key, wait in line.lines.get(purchase_line, ()):
        late.setdefault(key, []).append(wait)  # two holds may wait for one line
    jobs = [
        replace(job, stages=tuple(_later(stage, late[job.key], days) for stage in job.stages))
        if job.key in late
        else job
        for job in line.jobs
    ]
    return replace(line, jobs=tuple(jobs))


def _later(stage: Stage, awaited: Sequence[Wait], days: int) -> Stage:
    return replace(
        stage,
        waits=tuple(delayed(wait, days) if wait in awaited else wait for wait in stage.waits),
    )


def delayed(wait: Wait, days: int) -> Wait:
    """A wait of which the usual end is so many days later, as unsure as before."""
    spread = wait.spread
    return replace(wait, spread=replace(spread, median_h=spread.median_h + 24 * days))


def with_wait_over(line: Line, key: int, cause: str) -> Line:
    """What a build waits for by one cause comes within a day."""
    tomorrow = Wait(cause, Spread(24.0, 0.0))
    jobs = [
        replace(job, stages=tuple(_sooner(stage, tomorrow) for stage in job.stages))
        if job.key == key
        else job
        for job in line.jobs
    ]
    return replace(line, jobs=tuple(jobs))


def _sooner(stage: Stage, comes: Wait) -> Stage:
    waits = tuple(comes if wait.cause == comes.cause else wait for wait in stage.waits)
    return replace(stage, waits=waits)


def with_new_order(line: Line, kind: str) -> Line:
    """One more order of a kind at the end of the line; its hilt is still on its way here."""
    return replace(line, jobs=(*line.jobs, Job(NEW, line.new[kind])))
