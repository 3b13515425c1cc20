"""The forecast beside a simulation of the same shop in simpy.

Quantiles are compared in hours worked, not in calendar hours: a quantile that falls on a closing
hour in the one and on the next morning in the other would differ by a night.
"""

from random import Random

import numpy as np
import pytest

from shop.diary.forecast import Job, Limits, Person, Spread, Stage, queue
from shop.diary.forecast.clock import Clock
from tests.diary.shops import full, held, stuck, weekdays
from tests.diary.simpy_shop import Shop, lognormal

RUNS = 2000
ODDS = (0.5, 0.8)
ONE = [weekdays()]
TWO = [weekdays(), weekdays(10 * 60, 14 * 60)]

QUEUES: dict[str, tuple[list[Job], list[Person], Limits]] = {
    "one person": ([full(n) for n in range(6)], ONE, Limits(opened=5)),
    "two people, unlike hours": ([full(n) for n in range(8)], TWO, Limits(opened=6)),
    "parts that come late": (
        [held(full(n), 2, "parts", 60 + 30 * n) if n % 3 == 0 else full(n) for n in range(8)],
        TWO,
        Limits(opened=6),
    ),
    "hilts that are still to come": (
        [held(full(n), 0, "item", 100 + 20 * n) if n % 3 == 1 else full(n) for n in range(9)],
        TWO,
        Limits(opened=4),
    ),
    "stuck joints": ([stuck(full(n)) for n in range(6)], ONE, Limits(opened=5)),
    "a limit in test": (
        [full(n, (0.5, 0.5, 1, 1, 0.5), rest_h=5) for n in range(10)],
        [weekdays(), weekdays()],
        Limits(opened=8, stages=(("test", 2),)),
    ),
    "work under way": (
        [
            Job(0, (Stage("install", Spread(8, 0.5), worked_h=9), *full(0).stages[3:]), True),
            *(full(n) for n in range(1, 5)),
        ],
        ONE,
        Limits(opened=4),
    ),
}


@pytest.mark.parametrize("name", QUEUES)
def test_both_agree_within_two_percent(name: str) -> None:
    jobs, people, limits = QUEUES[name]
    said = queue(jobs, people, limits=limits, share=0.8, odds=ODDS, runs=RUNS * 4, seed=2)
    random = Random(2)
    runs = [
        Shop(jobs, people, limits, 0.8, random, lognormal(random)).run() for _run in range(RUNS)
    ]
    theirs = np.quantile(np.array(runs), ODDS, axis=0).T
    clock = Clock(people)
    for outlook, simulated in zip(said, theirs, strict=True):
        ours = clock.worked(0, np.array(outlook.finish_min, dtype=float))
        assert ours == pytest.approx(clock.worked(0, simulated), rel=0.02), outlook.key
