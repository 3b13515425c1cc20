"""The same shop as an event simulation in simpy, written on its own beside the forecast's walk.

People are processes that look at a board of builds; nothing here is shared with the code under
test but the values that describe a queue.
"""

import math
from bisect import bisect_right
from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any

import simpy

from shop.diary.forecast import Job, Limits, Person, Spread, Stage

DAY = 24.0 * 60
Hours = Callable[[Spread, float], float]  # of a spread that has lasted some hours: what is left


@dataclass
class Board:
    """One build on the board: where it is, and from when hands may go on."""

    job: Job
    ready: float
    at: int = 0
    is_opened: bool = False
    is_worked_on: bool = False
    finished: float = math.inf


def lognormal(random: Random) -> Hours:
    """Draws what is left of a span, by trying again until it lasts longer than it has lasted."""

    def left(spread: Spread, lasted: float) -> float:
        if spread.log_sd == 0:
            return max(spread.median_h - lasted, 0.0)
        while True:
            hours = random.lognormvariate(math.log(spread.median_h), spread.log_sd)
            if hours > lasted:
                return hours - lasted

    return left


class Shop:
    """One run of a shop, from now until its queue is empty."""

    def __init__(
        self, jobs: Sequence[Job], people: Sequence[Person], limits: Limits, share: float,
        random: Random, hours: Hours,
    ) -> None:  # fmt: skip
        self.env = simpy.Environment()
        self.changed = self.env.event()
        self.people, self.limits, self.share = people, limits, share
        self.random, self.hours = random, hours
        self.board = [Board(job, 0.0, is_opened=job.is_opened) for job in jobs]
        self.inside: dict[str, list[float]] = {code: [] for code, _most in limits.stages}
        for build in self.board:
            build.ready = self._released(build)

    def run(self) -> list[float]:
        """The minute at which each build is finished."""
        for person in self.people:
            self.env.process(self._works(person))
        self.env.run()
        return [build.finished for build in self.board]

    def _works(self, person: Person) -> Generator[Any, Any, None]:
        while any(math.isinf(build.finished) and not build.is_worked_on for build in self.board):
            opening = _goes_on(person, self.env.now)
            if opening > self.env.now:
                yield self.env.timeout(opening - self.env.now)
            build = self._first()
            if build is None:
                yield self.changed | self.env.timeout(self._soon())
                continue
            yield from self._takes(person, build)

    def _takes(self, person: Person, build: Board) -> Generator[Any, Any, None]:
        """Work on a build without a break until it must wait."""
        build.is_opened = build.is_worked_on = True
        while True:
            stage = build.job.stages[build.at]
            minutes = self._minutes(stage)
            end = _after(person, self.env.now, minutes)
            if stage.code in self.inside:
                self.inside[stage.code].append(end + stage.rest_h * 60)
            yield self.env.timeout(end - self.env.now)
            build.at += 1
            if build.at == len(build.job.stages):
                build.finished = self.env.now
                self._tell()
                return
            build.ready = max(self.env.now + stage.rest_h * 60, self._released(build))
            if self._must_wait(build, stage):
                build.is_worked_on = False
                self._tell()
                return

    def _must_wait(self, build: Board, before: Stage) -> bool:
        coming = build.job.stages[build.at]
        bounds = {before.code, coming.code} & set(self.inside)
        return bool(before.rest_h or coming.waits or bounds)

    def _minutes(self, stage: Stage) -> float:
        hours = self.hours(stage.spread, stage.worked_h)
        for extra in stage.extras:
            if self.random.random() < extra.yes / (extra.yes + extra.no):
                hours += self.hours(extra.spread, 0.0)
        return hours * 60 / self.share

    def _released(self, build: Board) -> float:
        waits = build.job.stages[build.at].waits
        ends = [self.hours(wait.spread, wait.waited_h) * 60 for wait in waits]
        return max(ends, default=0.0)

    def _first(self) -> Board | None:
        """What stands first in the queue of what may go on now."""
        opened = sum(b.is_opened and math.isinf(b.finished) for b in self.board)
        for build in self.board:
            waits = build.is_worked_on or build.ready > self.env.now
            if waits or not math.isinf(build.finished):
                continue
            if not build.is_opened and opened >= self.limits.opened:
                continue
            if self._has_room(build.job.stages[build.at].code):
                return build
        return None

    def _has_room(self, code: str) -> bool:
        most = dict(self.limits.stages).get(code)
        standing = sum(until > self.env.now for until in self.inside.get(code, []))
        return most is None or standing < most

    def _soon(self) -> float:
        """How long until a hold, a rest or a stay in a stage is over."""
        moments = [build.ready for build in self.board]
        moments += [until for inside in self.inside.values() for until in inside]
        return min((at - self.env.now for at in moments if at > self.env.now), default=DAY)

    def _tell(self) -> None:
        """Whoever waits for work looks again."""
        self.changed.succeed()
        self.changed = self.env.event()


def _goes_on(person: Person, moment: float) -> float:
    """The moment itself inside the hours, else the next opening."""
    place = bisect_right(person.closes.tolist(), moment)
    return max(moment, float(person.opens[place]))


def _after(person: Person, moment: float, minutes: float) -> float:
    """The moment at which so many minutes are worked, from a moment inside the hours."""
    place = bisect_right(person.closes.tolist(), moment)
    at = max(moment, float(person.opens[place]))
    while minutes > float(person.closes[place]) - at:
        minutes -= float(person.closes[place]) - at
        place += 1
        at = float(person.opens[place])
    return at + minutes
