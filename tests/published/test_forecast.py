"""The forecast of dates: sums of lognormals as published, and queues whose answer is exact."""

from datetime import UTC, date, datetime, time, timedelta
from statistics import NormalDist
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from shop.diary.calendar import Calendar, Closed
from shop.diary.forecast import (
    Job,
    Leaving,
    Limits,
    Person,
    Spread,
    Stage,
    Wait,
    quantiles,
    queue,
)
from shop.diary.spans import dispatch_days, hours_of

LONDON = ZoneInfo("Europe/London")
NINE_TO_FIVE = {day: (time(9), time(17)) for day in range(5)}


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        # scipy, convolution of the densities
        ([(2, 0.4)] * 3, (6.3156, 7.7088, 9.3364)),
        ([(1, 0.3), (2, 0.4), (3, 0.5), (1.5, 0.6), (0.5, 0.8)], (8.7294, 10.8852, 13.6052)),
    ],
)
def test_sum_of_lognormals_within_one_percent(
    parts: list[tuple[float, float]], expected: tuple[float, ...], seed: int
) -> None:
    assert quantiles(parts, (0.5, 0.8, 0.95), 20_000, seed) == pytest.approx(expected, rel=0.01)


def test_one_lognormal_is_its_closed_form() -> None:
    # F: median · exp(z · sd), z of 0.8 and 0.95 by the normal distribution
    expected = (2, 2 * np.exp(0.4 * 0.8416212), 2 * np.exp(0.4 * 1.6448536))
    assert quantiles([(2, 0.4)], runs=20_000) == pytest.approx(expected, rel=0.001)


@pytest.mark.parametrize(
    ("parts", "shares", "runs"),
    [([(0, 0.4)], (0.5,), 10), ([(1, -1)], (0.5,), 10), ([(1, 1)], (1.0,), 10), ([], (0.5,), 0)],
)
def test_impossible_input_is_refused(
    parts: list[tuple[float, float]], shares: tuple[float, ...], runs: int
) -> None:
    with pytest.raises(ValueError, match=r"want|wants|lies"):
        quantiles(parts, shares, runs)


def _calendar(*closures: Closed, zone: ZoneInfo = LONDON) -> Calendar:
    return Calendar(
        zone=zone,
        cut_off=time(15),
        hours=NINE_TO_FIVE,
        dispatch_weekdays=frozenset({0, 4}),
        closures=closures,
    )


def _fixed(hours: float, rest_h: float = 0.0) -> Job:
    return Job(7, (Stage("install", Spread(hours, 0.0), rest_h=rest_h),))


CLOSED_WEEK = Closed(date(2026, 12, 7), date(2026, 12, 11))


@pytest.mark.parametrize(
    ("now", "hours", "closures", "finish", "leaves"),
    [
        # 8 h a day from nine to five; worked out by hand
        ("2026-11-30 09:00", 3, (), "2026-11-30 12:00", "2026-11-30"),
        ("2026-11-30 09:00", 8, (), "2026-11-30 17:00", "2026-12-04"),
        ("2026-11-30 13:30", 8, (), "2026-12-01 13:30", "2026-12-04"),
        ("2026-12-04 16:00", 2, (), "2026-12-07 10:00", "2026-12-07"),  # over a weekend
        ("2026-12-05 11:00", 6, (), "2026-12-07 15:00", "2026-12-07"),  # its own minute counts
        ("2026-12-05 11:00", 6.05, (), "2026-12-07 15:03", "2026-12-11"),
        ("2026-12-04 16:00", 2, (CLOSED_WEEK,), "2026-12-14 10:00", "2026-12-14"),
        ("2026-10-23 16:00", 9, (), "2026-10-26 17:00", "2026-10-30"),  # clocks go back on the 25th
        ("2027-03-26 16:00", 9, (), "2027-03-29 17:00", "2027-04-02"),  # and forward on the 28th
    ],
)
def test_fixed_hours_end_on_the_exact_moment(
    now: str, hours: float, closures: tuple[Closed, ...], finish: str, leaves: str
) -> None:
    moment = datetime.fromisoformat(now).replace(tzinfo=LONDON).astimezone(UTC)
    calendar = _calendar(*closures)
    person = hours_of(calendar, calendar.hours, moment, days=60)
    leaving = dispatch_days(calendar, moment, days=60)
    (said,) = queue([_fixed(hours)], [person], leaving, share=1.0, runs=3)
    there = datetime.fromisoformat(finish).replace(tzinfo=LONDON).astimezone(UTC)
    there_min = (there - moment) / timedelta(minutes=1)
    assert said.finish_min == pytest.approx((there_min,) * 3, abs=0.01)
    assert said.days == (date.fromisoformat(leaves).toordinal(),) * 3


def test_hours_of_the_night_in_which_the_clocks_change_are_counted_as_they_pass() -> None:
    calendar = _calendar()
    night = {6: (time(0), time(6))}  # a Sunday night shift
    for day, minutes in ((date(2026, 10, 25), 7 * 60), (date(2027, 3, 28), 5 * 60)):
        now = datetime.combine(day - timedelta(days=1), time(12), LONDON).astimezone(UTC)
        person = hours_of(calendar, night, now, days=3)
        assert (person.closes - person.opens).tolist() == [minutes]


def test_four_fifths_of_the_day_go_into_builds() -> None:
    (said,) = queue([_fixed(6.4)], [_person((0, 480), (1440, 1920))], share=0.8, runs=2)
    assert said.finish_min == pytest.approx((480,) * 3, abs=0.01)


def _person(*hours: tuple[float, float]) -> Person:
    opens, closes = zip(*hours, strict=True)
    return Person(np.array(opens, dtype=float), np.array(closes, dtype=float))


USUAL = Limits()
ALL_DAY = _person((0, 60 * 24 * 90))


def _finish(jobs: list[Job], people: list[Person], limits: Limits = USUAL) -> list[float]:
    said = queue(jobs, people, limits=limits, share=1.0, runs=2)
    return [round(outlook.finish_min[0] or -1) / 60 for outlook in said]


def _job(key: int, *stages: Stage, opened: bool = False) -> Job:
    return Job(key, stages, is_opened=opened)


def _stage(code: str, hours: float, rest_h: float = 0, wait_h: float = 0) -> Stage:
    waits = (Wait("parts", Spread(wait_h, 0.0)),) if wait_h else ()
    return Stage(code, Spread(hours, 0.0), rest_h=rest_h, waits=waits)


@pytest.mark.parametrize(
    ("people", "expected"),
    [([ALL_DAY], [4, 8, 12]), ([ALL_DAY] * 2, [4, 4, 8]), ([ALL_DAY] * 3, [4, 4, 4])],
)
def test_builds_follow_each_other_through_the_hands(
    people: list[Person], expected: list[float]
) -> None:
    assert _finish([_job(n, _stage("install", 4)) for n in range(3)], people) == expected


def test_hands_go_on_elsewhere_while_a_build_waits_for_parts() -> None:
    first = _job(1, _stage("teardown", 1), _stage("install", 2, wait_h=10))
    second = _job(2, _stage("teardown", 1), _stage("install", 4))
    assert _finish([first, second], [ALL_DAY]) == [12, 6]


def test_rest_needs_no_hands() -> None:
    jobs = [_job(n, _stage("test", 2, rest_h=12), _stage("dispatch", 1)) for n in range(2)]
    assert _finish(jobs, [ALL_DAY]) == [15, 17]


def test_a_full_stage_keeps_the_next_build_out() -> None:
    jobs = [_job(n, _stage("test", 2, rest_h=12), _stage("dispatch", 1)) for n in range(2)]
    assert _finish(jobs, [ALL_DAY], Limits(stages=(("test", 1),))) == [15, 30]


def test_no_more_are_opened_than_may_be() -> None:
    jobs = [_job(n, _stage("teardown", 1), _stage("install", 1, wait_h=20)) for n in range(3)]
    assert _finish(jobs, [ALL_DAY], Limits(opened=3)) == [21, 22, 23]
    assert _finish(jobs, [ALL_DAY], Limits(opened=1)) == [21, 23, 25]


def test_with_more_open_than_may_be_nothing_is_opened_until_enough_are_done() -> None:
    opened = [_job(n, _stage("install", n), opened=True) for n in (1, 3, 5)]
    new = _job(6, _stage("install", 1))
    people = [ALL_DAY] * 3
    assert _finish([*opened, new], people, Limits(opened=1)) == [1, 3, 5, 6]
    assert _finish([*opened, new], people, Limits(opened=2)) == [1, 3, 5, 4]


def test_a_hilt_still_to_come_does_not_stop_those_here() -> None:
    jobs = [
        _job(1, _stage("intake", 1, wait_h=30)),
        *(_job(n, _stage("intake", 4)) for n in (2, 3)),
    ]
    assert _finish(jobs, [ALL_DAY], Limits(opened=1)) == [31, 4, 8]


def test_worked_hours_are_taken_off() -> None:
    job = Job(1, (Stage("install", Spread(8, 0.0), worked_h=5),), is_opened=True)
    assert _finish([job], [ALL_DAY]) == [3]


def test_what_is_left_of_a_long_job_is_its_conditional_rest() -> None:
    # F: P(T > t | T > w) of a lognormal; by the normal distribution, median 8, sd 0.5, w 10
    job = Job(1, (Stage("install", Spread(8, 0.5), worked_h=10),), is_opened=True)
    (said,) = queue([job], [ALL_DAY], share=1.0, runs=40_000, seed=4)
    found = [(minutes or 0) / 60 for minutes in said.finish_min]
    assert found == pytest.approx(_conditional(8, 0.5, 10), rel=0.03)


def _conditional(median: float, sd: float, worked: float) -> list[float]:
    normal = NormalDist()
    done = normal.cdf(np.log(worked / median) / sd)
    shares = (done + share * (1 - done) for share in (0.5, 0.8, 0.95))
    return [median * float(np.exp(sd * normal.inv_cdf(share))) - worked for share in shares]


def test_odds_of_a_promise_are_the_share_of_runs_that_keep_it() -> None:
    # F: half of the runs end by the median
    stage = Stage("install", Spread(10, 0.4))
    promise = Job(1, (stage,), promise_min=600)
    (said,) = queue([promise], [ALL_DAY], share=1.0, runs=20_000)
    assert said.odds == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(
    ("jobs", "drives"),
    [
        ([_job(1, _stage("install", 1, wait_h=100))], "parts"),
        ([_job(0, _stage("install", 50)), _job(1, _stage("install", 1, wait_h=10))], "hands"),
        ([_job(1, _stage("install", 5))], ""),
    ],
)
def test_says_what_drives_the_delay(jobs: list[Job], drives: str) -> None:
    assert queue(jobs, [ALL_DAY], runs=2)[-1].drives == drives


def test_what_lies_beyond_the_hours_has_no_date() -> None:
    (said,) = queue([_fixed(10)], [_person((0, 300))], Leaving(), share=1.0, runs=5)
    assert said.finish_min == said.days == (None, None, None)


def test_a_shop_without_hours_finishes_nothing() -> None:
    nobody = Person(np.array([]), np.array([]))
    (said,) = queue([_fixed(10)], [nobody], share=1.0, runs=5)
    assert said.finish_min == (None, None, None)


def test_an_empty_queue_has_no_outlook() -> None:
    assert queue([], [ALL_DAY]) == ()


def test_one_seed_says_the_same_twice() -> None:
    jobs = [Job(1, (Stage("install", Spread(5, 0.5, 4, 3)),))]
    assert queue(jobs, [ALL_DAY], seed=5) == queue(jobs, [ALL_DAY], seed=5)
