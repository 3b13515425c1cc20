"""Tables of dispatch days. Monday and Friday leave, cut-off 15:00, unless a row says otherwise."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from shop.diary.dispatch import days_between, next_day, roll_forward

LONDON = ZoneInfo("Europe/London")
AUCKLAND = ZoneInfo("Pacific/Auckland")
MONDAY_AND_FRIDAY = frozenset({0, 4})
THREE = time(15)


def at(text: str, zone: ZoneInfo = LONDON, fold: int = 0) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=zone, fold=fold)


@pytest.mark.parametrize(
    ("moment", "leaves"),
    [
        ("2026-11-25T10:40", "2026-11-27"),  # Wednesday: Friday
        ("2026-11-27T14:59:59", "2026-11-27"),  # a second before the cut-off minute
        ("2026-11-27T15:00", "2026-11-27"),  # the cut-off minute itself
        ("2026-11-27T15:00:59", "2026-11-27"),
        ("2026-11-27T15:01", "2026-11-30"),  # the week's last one missed: Monday
        ("2026-11-30T00:00", "2026-11-30"),
        ("2026-11-30T23:59", "2026-12-04"),
        ("2026-12-31T16:00", "2027-01-01"),  # over the year's end
        ("2027-01-01T15:01", "2027-01-04"),
        ("2028-02-28T15:01", "2028-03-03"),  # over a leap day
    ],
)
def test_parcel_leaves_on_next_dispatch_day(moment: str, leaves: str) -> None:
    day = next_day(at(moment), MONDAY_AND_FRIDAY, THREE, LONDON)
    assert day == date.fromisoformat(leaves)


def test_the_shops_own_clock_decides_not_utc() -> None:
    # 02:30 UTC on Friday is already past the cut-off in Auckland.
    moment = datetime(2026, 11, 27, 2, 30, tzinfo=UTC)
    assert next_day(moment, MONDAY_AND_FRIDAY, THREE, AUCKLAND) == date(2026, 11, 30)


@pytest.mark.parametrize(
    ("moment", "fold", "cut_off", "leaves"),
    [
        # 25 October 2026: clocks go back, 01:30 comes twice.
        ("2026-10-25T01:20", 0, time(1, 30), "2026-10-25"),
        ("2026-10-25T01:20", 1, time(1, 30), "2026-10-26"),
        ("2026-10-25T15:00", 0, THREE, "2026-10-25"),
        # 29 March 2026: clocks go forward, 01:30 does not come.
        ("2026-03-29T00:59", 0, time(1, 30), "2026-03-29"),
        ("2026-03-29T15:00", 0, THREE, "2026-03-29"),
        ("2026-03-29T15:01", 0, THREE, "2026-03-30"),
    ],
)
def test_clock_change_moves_no_cut_off(moment: str, fold: int, cut_off: time, leaves: str) -> None:
    day = next_day(at(moment, fold=fold), frozenset(range(7)), cut_off, LONDON)
    assert day == date.fromisoformat(leaves)


def test_closed_days_are_passed_over_given_as_a_set() -> None:
    closed = {date(2026, 11, 27), date(2026, 11, 30)}
    day = next_day(at("2026-11-25T10:40"), MONDAY_AND_FRIDAY, THREE, LONDON, closed)
    assert day == date(2026, 12, 4)


def test_closed_days_are_passed_over_given_as_a_function() -> None:
    day = roll_forward(date(2026, 12, 24), MONDAY_AND_FRIDAY, lambda d: d < date(2027, 1, 4))
    assert day == date(2027, 1, 4)


def test_a_dispatch_day_rolls_to_itself() -> None:
    assert roll_forward(date(2026, 11, 27), MONDAY_AND_FRIDAY) == date(2026, 11, 27)


@pytest.mark.parametrize(("weekdays", "closed"), [(frozenset(), ()), (frozenset({0}), bool)])
def test_a_shop_without_dispatch_days_is_told_so(weekdays, closed) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ValueError, match="no dispatch day within 366 days"):
        next_day(at("2026-11-25T10:40"), weekdays, THREE, LONDON, closed)


def test_a_moment_without_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        next_day(datetime(2026, 11, 25, 10, 40), MONDAY_AND_FRIDAY, THREE, LONDON)


@pytest.mark.parametrize(
    ("first", "last", "days"),
    [
        ("2026-11-23", "2026-11-30", ["2026-11-23", "2026-11-27", "2026-11-30"]),
        ("2026-11-24", "2026-11-26", []),
        ("2026-11-27", "2026-11-27", ["2026-11-27"]),
        ("2026-11-27", "2026-11-23", []),
    ],
)
def test_dispatch_days_between_two_days(first: str, last: str, days: list[str]) -> None:
    found = days_between(date.fromisoformat(first), date.fromisoformat(last), MONDAY_AND_FRIDAY)
    assert [str(day) for day in found] == days
