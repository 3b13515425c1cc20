"""The forecast answers for any queue that a shop can have, however odd."""

import random

import numpy as np
import pytest

from shop.diary.forecast import Extra, Job, Limits, Person, Spread, Stage, Wait, queue

DAY = 24 * 60.0
FOREVER_H = 6.4e5  # longer than the forecast sees


def person(days: int, gap: int = 0) -> Person:
    """Eight hours on so many days, the first of them after a gap."""
    opens = (np.arange(days, dtype=float) + gap) * DAY
    return Person(opens, opens + 480)


def job(key: int, waits_h: float = 0.0, *, is_opened: bool = False) -> Job:
    """A build of four stages, one of which may wait."""
    wait = (Wait("parts", Spread(waits_h, 0.3)),) if waits_h else ()
    stages = tuple(Stage(code, Spread(3, 0.3), waits=wait * (code == "b")) for code in "abcd")
    return Job(key, stages, is_opened=is_opened, promise_min=1000.0)


def test_builds_that_wait_for_ever_before_a_full_room() -> None:
    jobs = [job(key, FOREVER_H * (key < 3), is_opened=key < 2) for key in range(19)]
    found = queue(jobs, [person(365)] * 3, limits=Limits(1), runs=200)
    assert [outlook.key for outlook in found] == list(range(19))
    assert found[0].finish_min[0] is None


def test_nobody_at_the_bench_finishes_nothing() -> None:
    (outlook,) = queue([job(1)], [], runs=10)
    assert (outlook.finish_min, outlook.days, outlook.odds) == ((None,) * 3, (None,) * 3, 0.0)


def test_limit_that_nothing_can_reach_changes_nothing() -> None:
    jobs = [job(key) for key in range(5)]
    free = queue(jobs, [person(60)], limits=Limits(5), runs=200)
    assert queue(jobs, [person(60)], limits=Limits(900, (("a", 800),)), runs=200) == free


@pytest.mark.parametrize("seed", range(40))
def test_any_queue_has_an_answer(seed: int) -> None:
    chance = random.Random(seed)
    people = [
        person(chance.choice([0, 3, 300]), chance.choice([0, 400]))
        for _each in range(chance.randint(1, 4))
    ]
    jobs = [_any_job(key, chance) for key in range(chance.randint(1, 20))]
    limits = Limits(
        chance.choice([1, 3, 200]),
        tuple((code, chance.choice([1, 50])) for code in "abcd" if chance.random() < 0.3),
    )
    share = chance.choice([0.1, 0.8, 1])
    found = queue(jobs, people, limits=limits, share=share, runs=60)
    for outlook in found:
        seen = [moment for moment in outlook.finish_min if moment is not None]
        assert seen == sorted(seen)
        assert outlook.odds is None or 0 <= outlook.odds <= 1


def _any_job(key: int, chance: random.Random) -> Job:
    extra = Extra(Spread(2, 0.5), 1, 5)
    stages = tuple(
        Stage(
            code,
            Spread(chance.choice([0.05, 8, 40]), chance.choice([0, 0.3, 1.2])),
            worked_h=chance.choice([0, 3, 500]),
            rest_h=chance.choice([0, 12]),
            waits=(Wait("parts", Spread(chance.choice([1, 200, FOREVER_H]), 0.3)),)
            * (chance.random() < 0.2),
            extras=(extra,) * (chance.random() < 0.3),
        )
        for code in "abcd"[chance.randint(0, 3) :]
    )
    promise = chance.choice([None, 1000.0, -1.0])
    return Job(key, stages, is_opened=chance.random() < 0.5, promise_min=promise)
