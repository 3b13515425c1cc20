"""Which day a parcel leaves. Pure: no database, no clock, no settings."""

from collections.abc import Callable, Collection
from datetime import UTC, date, datetime, time, timedelta, tzinfo

Closed = Callable[[date], bool] | Collection[date]

FAR_ENOUGH = 366
_ONE = timedelta(days=1)


class NoDispatchDay(ValueError):
    """Nothing leaves for a year: a shop without dispatch days, or a very long closure."""


def roll_forward(day: date, dispatch_weekdays: Collection[int], closed: Closed = ()) -> date:
    """The first dispatch day on or after a day.

    :param dispatch_weekdays: the weekdays on which parcels leave; Monday is 0.
    :param closed: the days on which nothing leaves, or a function that says so of a day.
    """
    is_closed = closed if callable(closed) else closed.__contains__
    for distance in range(min(FAR_ENOUGH, (date.max - day).days) + 1):
        candidate = day + distance * _ONE
        if candidate.weekday() in dispatch_weekdays and not is_closed(candidate):
            return candidate
    raise NoDispatchDay(
        f"There is no dispatch day within {FAR_ENOUGH} days of {day:%d.%m.%Y}. "
        "Choose a weekday on which parcels leave, or shorten the closure."
    )


def after_cut_off(day: date, cut_off: time, zone: tzinfo) -> datetime:
    """The moment after a day's cut-off, whose own minute counts as in time.

    A moment: an hour that the clock change repeats comes once before its cut-off.
    """
    return datetime.combine(day, cut_off, zone).astimezone(UTC) + timedelta(minutes=1)


def next_day(
    moment: datetime,
    dispatch_weekdays: Collection[int],
    cut_off: time,
    zone: tzinfo,
    closed: Closed = (),
) -> date:
    """The day on which a parcel leaves that is closed at a moment.

    Up to the cut-off, its own minute included, it goes on the day itself; after it, on the next
    dispatch day, which after the week's last one lies in the week to come.
    """
    if moment.tzinfo is None:
        raise ValueError("The moment must carry its time zone.")
    today = moment.astimezone(zone).date()
    in_time = moment.astimezone(UTC) < after_cut_off(today, cut_off, zone)
    return roll_forward(today if in_time else today + _ONE, dispatch_weekdays, closed)


def days_between(
    first: date, last: date, dispatch_weekdays: Collection[int], closed: Closed = ()
) -> tuple[date, ...]:
    """The dispatch days from one day to another, both included."""
    is_closed = closed if callable(closed) else closed.__contains__
    span = (first + distance * _ONE for distance in range((last - first).days + 1))
    return tuple(day for day in span if day.weekday() in dispatch_weekdays and not is_closed(day))
