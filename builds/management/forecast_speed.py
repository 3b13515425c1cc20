"""Measures the forecast against a bare draw of the same random numbers, in turn, in one run.

In seconds of the processor, so that whatever else the machine does counts for little.
"""

import resource
import sys
from collections.abc import Iterator
from statistics import median
from time import process_time

import numpy as np

from shop.diary import learned
from shop.diary.forecast import Extra, Job, Limits, Person, Spread, Stage, Wait, queue

BUILDS, RUNS, ROUNDS, MANY = 200, 5000, 7, 2000
DAY = 24 * 60
KINDS = ("full", "upgrade")
EACH_HELD = 6  # every sixth build waits for parts


def forecast() -> Iterator[str]:
    """Lines that say how long a queue takes, and how much memory."""
    jobs, people = _jobs(BUILDS), _two_people(weeks=150)
    _round(jobs, people)  # what is loaded once is loaded before
    took = [_round(jobs, people) for _each in range(ROUNDS)]
    bare, ours = (median(each) for each in zip(*took, strict=True))
    yield (
        f"forecast of {BUILDS} builds, {RUNS} runs, two people: median of {ROUNDS} "
        f"{ours * 1000:.0f} ms, bare draw {bare * 1000:.0f} ms, ratio {ours / bare:.1f}"
    )
    yield f"memory of the whole process at its highest: {_memory_mb():.0f} MB"
    begun = process_time()
    queue(_jobs(MANY), _two_people(weeks=1500), limits=_limits(), runs=RUNS)
    yield f"{MANY} builds: {process_time() - begun:.1f} s, memory {_memory_mb():.0f} MB"


def _round(jobs: list[Job], people: list[Person]) -> tuple[float, float]:
    begun = process_time()
    _bare_draw(jobs)
    between = process_time()
    queue(jobs, people, limits=_limits(), runs=RUNS, seed=1)
    return between - begun, process_time() - between


def _bare_draw(jobs: list[Job]) -> None:
    """As many lognormal hours, chances and hours on top as the forecast draws, and no more."""
    stages = [stage for job in jobs for stage in job.stages]
    spans = len(stages) + sum(len(stage.waits) for stage in stages)
    extras = [extra for stage in stages for extra in stage.extras]
    rng = np.random.default_rng(1)
    rng.lognormal(0.0, 0.4, (spans, RUNS))
    rng.random((len(extras), RUNS))
    rng.lognormal(0.0, 0.4, int(RUNS * sum(one.yes / (one.yes + one.no) for one in extras)))


def _memory_mb() -> float:
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (2**20 if sys.platform == "darwin" else 2**10)


def _limits() -> Limits:
    return Limits(opened=6, stages=(("test", 4),))


def _two_people(weeks: int) -> list[Person]:
    """One works nine to five, the other ten to three, Monday to Friday; now is Monday, nine."""
    monday = np.array([day * DAY for day in range(weeks * 7) if day % 7 < 5], dtype=float)
    return [Person(monday, monday + 8 * 60), Person(monday + 60, monday + 6 * 60)]


def _jobs(count: int) -> list[Job]:
    return [_job(number) for number in range(count)]


def _job(number: int) -> Job:
    """Uncertain hours as a shop has after ten builds, stuck joints, rework, late parts."""
    kind, is_opened = KINDS[number % 2], number < 4
    stages = [_stage(kind, code) for code in learned.FIRST_GUESSES[kind]]
    if is_opened:
        stages[0] = Stage("intake", stages[0].spread, worked_h=0.5)
    if number % EACH_HELD == 0:
        old = stages[2]
        stages[2] = Stage(old.code, old.spread, waits=(Wait("parts", Spread(240, 0.6)),))
    return Job(number, tuple(stages), is_opened, promise_min=30.0 * DAY)


def _stage(kind: str, code: str) -> Stage:
    middle = learned.guess(kind, code).median_h
    spread = learned.hours(f"{kind} {code}", learned.guess(kind, code), [middle] * 10).spread
    extras: dict[str, tuple[Extra, ...]] = {
        "teardown": (Extra(Spread(2.0, 0.5), 1, 6),),
        "test": (Extra(Spread(1.5, 0.7), 1, 5),),
    }
    return Stage(code, spread, rest_h=14 if code == "test" else 0, extras=extras.get(code, ()))
