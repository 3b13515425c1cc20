"""The forecast of dates. Pure: plain values in, plain values out; no clock, no database.

``queue`` walks the whole queue through the people's hours many times and says of each build when
it is finished, how likely its promise holds, and what it waits for.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from shop.diary.forecast import draws
from shop.diary.forecast.answers import Delays, answers, day_by
from shop.diary.forecast.clock import FAR, Clock
from shop.diary.forecast.hands import Drawing, Plan, Release, walk
from shop.diary.forecast.opening import Middling
from shop.diary.forecast.steps import Steps, steps
from shop.diary.forecast.sums import quantiles
from shop.diary.forecast.values import (
    HANDS,
    Extra,
    Job,
    Leaving,
    Limits,
    Outlook,
    Person,
    Spread,
    Stage,
    Wait,
)

__all__ = [
    "HANDS", "ODDS", "Extra", "Job", "Leaving", "Limits", "Outlook", "Person", "Spread",
    "Stage", "Wait", "day_by", "quantiles", "queue",
]  # fmt: skip

ODDS = (0.5, 0.8, 0.95)
RUNS = 5000
USUAL = Limits()
NO_DAYS = Leaving()
IN_SIGHT = 6  # of the hilts still to come, so many at most wait to be opened side by side
AT_ONCE = 20_000_000  # bytes of drawn hours kept at a time


def queue(
    jobs: Sequence[Job],
    people: Sequence[Person],
    leaving: Leaving = NO_DAYS,
    *,
    limits: Limits = USUAL,
    share: float = 0.8,
    odds: tuple[float, ...] = ODDS,
    runs: int = RUNS,
    seed: int = 0,
) -> tuple[Outlook, ...]:
    """What is to be expected of each build, in the order of the queue.

    Whoever is free takes what stands first in the queue of what may go on, and stays with it
    until it must wait: for a hold, a burn-in or rest, or a limit. Hours are lognormal; of what is
    worked already the rest is drawn, given that it has lasted so long.

    :param jobs: the builds in the order in which the shop takes them.
    :param share: the share of the working hours that goes into builds.
    :param odds: the shares of runs that each answer covers.
    :param seed: the same seed draws the same hours for a build wherever it stands, so that two
        forecasts of one line differ by what was changed in it and not by chance.
    """
    if not 0 < share <= 1:
        raise ValueError("The share of the day that is planned lies between nought and all of it.")
    if runs < 1:
        raise ValueError("A forecast wants at least one run.")
    if not jobs:
        return ()
    if not people:
        return tuple(_never(job, len(odds)) for job in jobs)
    bounds = _binding(limits, jobs)
    return _Forecast(list(jobs), people, bounds, share, runs, seed).answer(leaving, odds)


def _never(job: Job, answers: int) -> Outlook:
    """Of a shop without anybody at the bench: nothing is ever finished."""
    odds = None if job.promise_min is None else 0.0
    return Outlook(job.key, (None,) * answers, (None,) * answers, odds)


def _binding(limits: Limits, jobs: Sequence[Job]) -> Limits:
    """The limits that can be reached: every build in a stage is opened, and there are so many."""
    most = min(limits.opened, len(jobs))
    opened = max(most, sum(job.is_opened for job in jobs))
    return Limits(most, tuple(each for each in limits.stages if each[1] < opened))


class _Forecast:
    def __init__(
        self,
        jobs: list[Job],
        people: Sequence[Person],
        limits: Limits,
        share: float,
        runs: int,
        seed: int,
    ) -> None:
        self.jobs, self.runs, self.share = jobs, runs, share
        self.clock = Clock(people)
        self.rngs = draws.of_builds([job.key for job in jobs], seed)
        self.cut = steps(jobs, limits)
        self.learnt = draws.known(_spreads(self.cut), runs, seed)
        extras = (extra for row in self.cut.rows for extra in row.stage.extras)
        self.chances = draws.chances(extras, runs, seed)
        opened = sum(job.is_opened for job in jobs)
        to_come = sum(bool(job.stages[0].waits) for job in jobs if not job.is_opened)
        self.plan = Plan(
            cut=self.cut,
            order=self._order(limits.opened),
            opened=opened,
            slots=min(max(limits.opened, opened) + 1 + min(to_come, IN_SIGHT), len(jobs)),
            limits=limits,
            clock=self.clock,
        )

    def answer(self, leaving: Leaving, odds: tuple[float, ...]) -> tuple[Outlook, ...]:
        finish = np.empty((len(self.jobs), self.runs), dtype=np.float32)
        delays = Delays(self.cut)
        for runs in self._parts():
            drawing = Drawing(self._work(runs), self._release(runs))
            walked = walk(self.plan, drawing)
            finish[:, runs] = walked.ended[self.cut.last_of]
            delays.add(walked, drawing.release)
        return answers(self.jobs, finish, delays, leaving, odds)

    def _parts(self) -> Iterator[slice]:
        bytes_a_run = 4 * len(self.cut)
        size = max(1, min(self.runs, AT_ONCE // bytes_a_run))
        for first in range(0, self.runs, size):
            yield slice(first, min(first + size, self.runs))

    def _order(self, most: int) -> list[int]:
        """As they stand in the queue; where some are still to come, as a middling run has it."""
        if not any(job.stages[0].waits for job in self.jobs):
            return sorted(range(len(self.jobs)), key=lambda at: not self.jobs[at].is_opened)
        work, release = np.zeros(len(self.cut)), np.zeros(len(self.cut))
        for row in self.cut.rows:
            hours = max(row.stage.spread.median_h - row.stage.worked_h, 0)
            work[row.step] += hours * 60 / self.share
        for step, waits in enumerate(self.cut.waits):
            ends = [max(wait.spread.median_h - wait.waited_h, 0) * 60 for wait in waits]
            release[step] = max(ends, default=0.0)
        return Middling(self.cut, self.jobs, most, self.clock).walk(work, release)

    def _work(self, runs: slice) -> draws.Drawn:
        """Minutes of the people's hours that each step takes."""
        learnt = {spread: each.part(runs) for spread, each in self.learnt.items()}
        work = np.zeros((len(self.cut), runs.stop - runs.start), dtype=np.float32)
        kept = np.empty(work.shape[1], dtype=np.float32)
        for row in self.cut.rows:
            spread, worked_h = row.stage.spread, row.stage.worked_h
            if worked_h > 0:
                work[row.step] += draws.left(spread, worked_h, learnt[spread], self._rng(row.step))
            else:
                draws.add_hours(work[row.step], learnt[spread], self._rng(row.step), kept)
        self._add_extras(work, learnt, runs)
        work *= np.float32(60 / self.share)
        return np.minimum(work, np.float32(FAR), out=work)

    def _rng(self, step: int) -> np.random.Generator:
        return self.rngs[self.cut.build[step]]

    def _add_extras(
        self, work: draws.Drawn, learnt: dict[Spread, draws.Known], runs: slice
    ) -> None:
        for row in self.cut.rows:
            for extra in row.stage.extras:
                odds = self.chances[extra][runs]
                draws.add_extra(work[row.step], learnt[extra.spread], odds, self._rng(row.step))

    def _release(self, runs: slice) -> Release:
        """The first row is for what nothing holds, the last for what is no build."""
        waiting = [step for step, waits in enumerate(self.cut.waits) if waits]
        row = np.zeros(len(self.cut) + 1, dtype=np.int64)
        row[[*waiting, len(self.cut)]] = np.arange(1, len(waiting) + 2)
        moments = np.zeros((len(waiting) + 2, runs.stop - runs.start), dtype=np.float32)
        for step in waiting:
            found = moments[row[step]]
            for wait in self.cut.waits[step]:
                learnt = self.learnt[wait.spread].part(runs)
                ends = draws.left(wait.spread, wait.waited_h, learnt, self._rng(step)) * np.float32(
                    60
                )
                np.maximum(found, ends, out=found)
        np.minimum(moments, np.float32(FAR), out=moments)
        moments[-1] = np.inf  # never ready, not even when all that is real waits for a room
        return Release(row, moments)


def _spreads(cut: Steps) -> Iterator[Spread]:
    for row in cut.rows:
        yield row.stage.spread
        yield from (extra.spread for extra in row.stage.extras)
    yield from (wait.spread for waits in cut.waits for wait in waits)
