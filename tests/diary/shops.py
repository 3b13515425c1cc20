"""Working hours and queues for the tests of the forecast, as plain values."""

import numpy as np

from shop.diary.forecast import Extra, Job, Person, Spread, Stage, Wait

DAY = 24 * 60
MONDAY = 9 * 60  # "now" is Monday, 9:00, unless a test says otherwise


def weekdays(
    opens: int = 9 * 60, closes: int = 17 * 60, *, weeks: int = 40, now: int = MONDAY,
    closed: tuple[int, ...] = (),
) -> Person:  # fmt: skip
    """Somebody who works Monday to Friday, but for closed days, counted from this Monday."""
    days = [day for day in range(weeks * 7) if day % 7 < 5 and day not in closed]
    first = np.array([day * DAY + opens - now for day in days], dtype=float)
    return Person(first, first + closes - opens)


def full(
    key: int, hours: tuple[float, ...] = (1, 1.5, 8, 1.5, 1), sd: float = 0.35, rest_h: float = 14
) -> Job:
    """A full install, with the night that it rests after the test."""
    codes = ("intake", "teardown", "install", "test", "dispatch")
    stages = [
        Stage(code, Spread(median, sd), rest_h=rest_h if code == "test" else 0)
        for code, median in zip(codes, hours, strict=True)
    ]
    return Job(key, tuple(stages))


def held(job: Job, place: int, cause: str, median_h: float, sd: float = 0.4) -> Job:
    """The same, waiting for something before one of its stages."""
    stages = list(job.stages)
    old = stages[place]
    wait = Wait(cause, Spread(median_h, sd))
    stages[place] = Stage(old.code, old.spread, old.worked_h, old.rest_h, (wait,), old.extras)
    return Job(job.key, tuple(stages), job.is_opened, job.promise_min)


def stuck(job: Job) -> Job:
    """The same, with a joint that may be stuck."""
    stages = list(job.stages)
    old = stages[1]
    extra = Extra(Spread(2, 0.5), yes=3e6, no=7e6)  # so many that the chance is known
    stages[1] = Stage(old.code, old.spread, old.worked_h, old.rest_h, old.waits, (extra,))
    return Job(job.key, tuple(stages), job.is_opened, job.promise_min)
