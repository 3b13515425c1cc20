"""The last day on which a parcel may leave and still be there in time; worked out by hand."""

from datetime import date, time
from zoneinfo import ZoneInfo

import pytest

from shop.diary.calendar import Calendar, Closed
from shop.diary.serving import days_on_the_way_before, last_day_serving, last_day_to_collect

EVERY_DAY = frozenset(range(7))
MONDAY_FRIDAY = frozenset({0, 4})
YEAR_END = Closed(date(2026, 12, 14), date(2027, 1, 3))


def _calendar(dispatch: frozenset[int] = MONDAY_FRIDAY, *closures: Closed) -> Calendar:
    return Calendar(
        zone=ZoneInfo("Europe/London"),
        cut_off=time(15),
        hours={day: (time(9), time(17)) for day in range(5)},
        dispatch_weekdays=dispatch,
        closures=closures,
    )


@pytest.mark.parametrize(
    ("needed_by", "days", "leaves"),
    [
        # December 2026: the 18th is a Friday
        (date(2026, 12, 18), 2, date(2026, 12, 16)),
        (date(2026, 12, 18), 0, date(2026, 12, 18)),
        (date(2026, 12, 21), 1, date(2026, 12, 18)),  # over a weekend
        (date(2026, 12, 20), 1, date(2026, 12, 17)),  # nothing comes on a Sunday: by Friday
        (date(2026, 12, 19), 0, date(2026, 12, 19)),  # what does not travel is there
        (date(2026, 12, 18), 6, date(2026, 12, 10)),
        (date(2027, 1, 4), 5, date(2026, 12, 28)),  # over the year's end, holidays not counted
    ],
)
def test_days_on_the_way_are_monday_to_friday(needed_by: date, days: int, leaves: date) -> None:
    assert days_on_the_way_before(needed_by, days) == leaves


@pytest.mark.parametrize(
    ("needed_by", "days", "last"),
    [
        (date(2026, 12, 11), 2, date(2026, 12, 7)),  # to leave by Wednesday: Monday's parcels
        (date(2026, 12, 11), 4, date(2026, 12, 7)),
        (date(2026, 12, 11), 5, date(2026, 12, 4)),
        (date(2026, 12, 11), None, date(2026, 12, 11)),  # not known: reckoned with none
    ],
)
def test_last_dispatch_day_that_serves(needed_by: date, days: int | None, last: date) -> None:
    assert last_day_serving(needed_by, days, _calendar()) == last


def test_a_closure_before_the_day_needed_brings_the_last_day_forward() -> None:
    closed = _calendar(MONDAY_FRIDAY, YEAR_END)
    assert last_day_serving(date(2026, 12, 31), 2, closed) == date(2026, 12, 11)


def test_a_shop_from_which_nothing_leaves_serves_no_day() -> None:
    assert last_day_serving(date(2026, 12, 31), 2, _calendar(frozenset())) is None


def test_the_first_days_of_all_have_nothing_before_them() -> None:
    assert last_day_serving(date(1, 1, 6), 1, _calendar(frozenset({6}))) is None
    assert last_day_serving(date(1, 1, 6), 9, _calendar(EVERY_DAY)) is None


@pytest.mark.parametrize("needed_by", [date(2026, 12, 11), date(2026, 12, 12), date(2026, 12, 13)])
def test_what_is_collected_is_ready_on_a_working_day(needed_by: date) -> None:
    assert last_day_to_collect(needed_by, _calendar(EVERY_DAY)) == date(2026, 12, 11)


def test_nothing_is_collected_while_the_shop_is_closed() -> None:
    closed = _calendar(EVERY_DAY, YEAR_END)
    assert last_day_to_collect(date(2026, 12, 24), closed) == date(2026, 12, 11)
