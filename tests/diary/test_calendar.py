"""The calendar as the database keeps it: closures, public holidays, hours."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.diary.models import Closure, Weekday
from shop.diary.queries import calendar
from shop.house.models import House


def test_public_holiday_is_no_dispatch_day(house: House) -> None:
    christmas = date(2026, 12, 25)  # a Friday
    assert calendar(house).why_closed(christmas) == "Christmas Day"
    assert not calendar(house).is_dispatch_day(christmas)


def test_shop_that_works_on_holidays_dispatches(house: House) -> None:
    house.closed_on_holidays = False
    assert calendar(house).is_dispatch_day(date(2026, 12, 25))


@pytest.mark.parametrize(("region", "closed"), [("", False), ("SCT", True), ("ZZ", False)])
def test_holiday_of_a_region(house: House, region: str, closed: bool) -> None:
    house.region = region
    assert calendar(house).is_closed(date(2026, 11, 30)) is closed  # St Andrew's Day


def test_unknown_country_has_no_holidays(house: House) -> None:
    house.country = "ZZ"
    assert not calendar(house).is_closed(date(2026, 12, 25))


def test_closure_counts_both_ends_and_says_why(house: House) -> None:
    Closure.objects.create(first="2026-11-27", last="2026-11-30", reason="stocktaking")
    days = calendar(house)
    inside = [days.why_closed(date(2026, 11, d)) for d in (26, 27, 30)]
    assert [*inside, days.why_closed(date(2026, 12, 1))] == ["", "stocktaking", "stocktaking", ""]


def test_next_dispatch_day_passes_closure_and_holidays(house: House) -> None:
    Closure.objects.create(first="2026-12-21", last="2026-12-24")
    now = datetime(2026, 12, 18, 15, 30, tzinfo=UTC)
    # 21st closed, 25th Christmas, 28th in lieu of Boxing Day, 1 January a holiday.
    assert calendar(house).next_dispatch_day(now) == date(2027, 1, 4)


def test_promise_rolls_to_a_dispatch_day(house: House) -> None:
    assert calendar(house).on_or_after(date(2026, 11, 24)) == date(2026, 11, 27)


def test_calendar_ends_before_the_last_day_there_is(house: House) -> None:
    assert calendar(house).on_or_after(date(9999, 12, 29)) == date(9999, 12, 31)  # a Friday
    Weekday.objects.update(dispatches=False)
    assert calendar(house).on_or_after(date(9999, 12, 29)) is None


def test_working_day_passes_weekend_and_holiday(house: House) -> None:
    assert calendar(house).working_day(date(2026, 12, 25)) == date(2026, 12, 29)


def test_working_day_of_a_shop_without_hours_is_the_day(house: House) -> None:
    Weekday.objects.update(opens=None, closes=None)
    assert calendar(house).working_day(date(2026, 11, 28)) == date(2026, 11, 28)


def test_today_is_the_shops_day(house: House) -> None:
    house.zone_name = "Pacific/Auckland"
    assert calendar(house).today(datetime(2026, 11, 25, 23, tzinfo=UTC)) == date(2026, 11, 26)


def test_rule_of_days_is_plain_values(house: House) -> None:
    rule = calendar(house).rule_days(date(2026, 12, 24), 2)
    assert rule[0]["is_today"]
    assert rule[1] == {
        "date": date(2026, 12, 25),
        "is_today": False,
        "is_dispatch": False,
        "is_working": False,
        "is_closed": True,
        "why_closed": "Christmas Day",
        "flags": [],
    }


def test_calendar_costs_two_queries_however_many_days(house: House) -> None:
    with CaptureQueriesContext(
        connection,
    ) as queries:
        calendar(house).rule_days(date(2026, 11, 25), 60)
    assert len(queries) == 2
