"""What helps a promise that is in danger: tried on the line, the cheapest first.

Pure. To ask or to chase costs nothing; then the order of the line, where nobody else falls under
the limit by it; then a day more of somebody's work; last, to tell another day.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, time, timedelta

from builds.queue.states import Remedy
from builds.queue.values import (
    ANSWER,
    GRID,
    ITEM,
    PARTS,
    PAYMENT,
    Hours,
    Line,
    Worker,
    in_order,
    odds_by,
    reckoned,
    with_extra_day,
    with_wait_over,
)
from shop.diary.forecast import Job, Outlook
from shop.diary.learned import ENOUGH
from shop.diary.spans import latest

RUNS = 1000  # of a trial: 200 builds take 60 ms, and the odds are right to some 1.5 points
MOST = 10  # promises in danger, the worst first, for which anything is tried
WORTH = 8000  # builds walked in all trials together: some five seconds
AHEAD = timedelta(days=14)  # nobody is asked for a Saturday that lies further off
BY_CUSTOMER = (ANSWER, PAYMENT, ITEM)
Odds = Mapping[int, float]


@dataclass(frozen=True)
class Found:
    """What helps, with what, and the odds of the promise (of the new day) with it."""

    remedy: Remedy
    odds: float
    facts: dict[str, str | int] = field(default_factory=dict)


def in_danger(line: Line, seen: Mapping[int, Outlook], least: float) -> list[int]:
    """Builds whose promise is less likely than it should be, the worst first.

    Not while a build waits for its customer, for the day moves along; nor once it lies packed or
    stands ready, for its work is over; nor of a kind of which too few were finished to say odds.
    """
    found = [
        (odds, job.key)
        for job in line.jobs
        if job.key in line.due
        and job.key not in line.moving
        and not line.is_done(job.key)
        and line.finished.get(line.kinds.get(job.key, ""), 0) >= ENOUGH
        and (odds := seen[job.key].odds) is not None
        and odds < least
    ]
    return [key for _odds, key in sorted(found)]


def remedies(line: Line, seen: Mapping[int, Outlook], least: float) -> dict[int, Found]:
    """Build → the first thing that brings its promise over the limit, or the day that does."""
    trials = _Trials(line, seen, least)
    danger = in_danger(line, seen, least)
    past = [key for key in danger if _is_past(line, key)]
    # Of a day that is past nothing is tried: it takes no trial from those that can be helped.
    worst = [key for key in danger if key not in past][:MOST]
    tried = {key: trials.first_that_helps(key) for key in worst}
    tried |= {key: trials.new_day(key) for key in past}
    return {key: found for key, found in tried.items() if found}


def _is_past(line: Line, key: int) -> bool:
    moment = latest(line.calendar_of(key), line.due[key], line.now)
    return moment is None or moment < 0


class _Trials:
    def __init__(self, line: Line, seen: Mapping[int, Outlook], least: float) -> None:
        self.line, self.seen, self.least = line, seen, least
        self.jobs = {job.key: job for job in line.jobs}
        self.left = WORTH // max(len(line.jobs), 1)
        self.worked: dict[tuple[int, date], Odds] = {}
        self.usual: Odds | None = None

    def first_that_helps(self, key: int) -> Found | None:
        tries = (self._sooner(key), self._first(key), self._extra_days(key))
        for found in (found for each in tries for found in each):
            if found.odds >= self.least:
                return found
        return self.new_day(key)

    def _walk(self, changed: Line) -> Odds | None:
        """The odds of all promises on a changed line; nothing once enough was walked."""
        if self.left <= 0:
            return None
        self.left -= 1
        found = reckoned(changed, RUNS)
        return {key: one.odds for key, one in found.items() if one.odds is not None}

    def _sooner(self, key: int) -> Iterator[Found]:
        waits = self.seen[key].waits_h
        for cause in sorted(waits, key=lambda each: -waits[each]):
            if cause != PARTS and cause not in BY_CUSTOMER:
                continue
            odds = self._walk(with_wait_over(self.line, key, cause))
            if odds is None:
                return
            facts: dict[str, str | int] = {"cause": cause}
            if cause == PARTS and (purchase_line := self._delivery(self.jobs[key])):
                facts["line"] = purchase_line
            yield Found(Remedy.CHASE if cause == PARTS else Remedy.ASK, odds[key], facts)

    def _delivery(self, job: Job) -> int | None:
        """The line on order that a build waits for longest."""
        awaited = [
            (wait.spread.median_h - wait.waited_h, purchase_line)
            for purchase_line, waits in self.line.lines.items()
            for key, wait in waits
            if key == job.key
        ]
        return max(awaited)[1] if awaited else None

    def _first(self, key: int) -> Iterator[Found]:
        if self.line.jobs[0].key == key:
            return
        self.usual = self.usual or self._walk(self.line)
        odds = self._walk(in_order(self.line, [key]))
        if odds is None or self.usual is None:
            return
        others = (each for each in odds if each != key and each not in self.line.moving)
        if all(odds[each] >= self.least or self.usual[each] < self.least for each in others):
            yield Found(Remedy.FIRST, odds[key])

    def _extra_days(self, key: int) -> Iterator[Found]:
        for worker in self.line.workers:
            free = self._day_off(worker, self.line.due[key])
            if free is None:
                continue
            day, hours = free
            if (worker.pk, day) not in self.worked:
                odds = self._walk(with_extra_day(self.line, worker.pk, day, hours))
                if odds is None:
                    return
                self.worked[worker.pk, day] = odds
            opens, closes = hours
            facts: dict[str, str | int] = {
                "person": worker.pk,
                "day": day.isoformat(),
                "opens": f"{opens:%H:%M}",
                "closes": f"{closes:%H:%M}",
            }
            yield Found(Remedy.EXTRA_DAY, self.worked[worker.pk, day][key], facts)

    def _day_off(self, worker: Worker, due: date) -> tuple[date, Hours] | None:
        """The next weekday off of somebody that comes before the promise, and usual hours."""
        calendar = self.line.calendar
        today = calendar.today(self.line.now)
        coming = (today + timedelta(days=n) for n in range(1, AHEAD.days + 1))
        free = (
            day
            for day in coming
            if day <= due
            and day.weekday() not in worker.week
            and day not in worker.extra
            and day not in worker.off
            and not calendar.is_closed(day)
        )
        hours = min(worker.week.items(), default=(0, (time(0), time(0))))[1]
        day = next(free, None)
        return (day, hours) if day and hours[0] < hours[1] else None

    def new_day(self, key: int) -> Found | None:
        moments = self.seen[key].finish_min[-len(GRID) :]
        leaving = self.line.leaving_of(key)
        after = self.line.due[key].toordinal()
        for day, cut_off in zip(leaving.days, leaving.cut_offs, strict=True):
            odds = odds_by(moments, cut_off) if day > after else 0.0
            if odds >= self.least:
                return Found(Remedy.NEW_DAY, odds, {"day": date.fromordinal(day).isoformat()})
        return None
