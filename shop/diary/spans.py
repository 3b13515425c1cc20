"""Working hours and dispatch days as the minutes from now that the forecast takes.

Local hours become moments here, day by day, so that a clock change counts as it passes.
"""

from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from types import MappingProxyType

import numpy as np

from shop.diary.calendar import Calendar
from shop.diary.forecast import Leaving, Person

Week = Mapping[int, tuple[time, time]]
_MINUTE = timedelta(minutes=1)


def whole_minute(now: datetime) -> datetime:
    """The minute that is under way; moments of a forecast count from it."""
    return now.astimezone(UTC).replace(second=0, microsecond=0)


def hours_of(
    calendar: Calendar,
    week: Week,
    now: datetime,
    days: int,
    off: frozenset[date] = frozenset(),
    extra: Mapping[date, tuple[time, time]] = MappingProxyType({}),
) -> Person:
    """When somebody works from today on: the week, less what is closed and the days off.

    :param extra: days worked all the same, each with its hours.
    """
    start, today = whole_minute(now), calendar.today(now)
    spans = []
    for day in (today + timedelta(days=ahead) for ahead in range(days)):
        span = extra.get(day)
        if span is None and day not in off and not calendar.is_closed(day):
            span = week.get(day.weekday())
        if span is not None:
            spans.append([_minutes(calendar, day, at, start) for at in span])
    hours = np.array([span for span in spans if span[0] < span[1]], dtype=float).reshape(-1, 2)
    return Person(hours[:, 0], hours[:, 1])


def dispatch_days(calendar: Calendar, now: datetime, days: int) -> Leaving:
    """The days on which parcels leave from today on, each with its last moment."""
    start, today = whole_minute(now), calendar.today(now)
    coming = (today + timedelta(days=ahead) for ahead in range(days))
    leaving = [day for day in coming if calendar.is_dispatch_day(day)]
    return Leaving(
        tuple(day.toordinal() for day in leaving),
        tuple(_last_moment(calendar, day, start) for day in leaving),
    )


def latest(calendar: Calendar, promised: date, now: datetime) -> float | None:
    """The last moment, in minutes from now, that keeps a promise; None where no day does."""
    back = (promised - timedelta(days=before) for before in range(366))
    day = next((each for each in back if calendar.is_dispatch_day(each)), None)
    return None if day is None else _last_moment(calendar, day, whole_minute(now))


def _last_moment(calendar: Calendar, day: date, start: datetime) -> float:
    """The cut-off's own minute counts to its end."""
    return (calendar.cut_off_of(day) - start) / _MINUTE - 0.01


def _minutes(calendar: Calendar, day: date, at: time, start: datetime) -> float:
    """The seconds of an hour written down before forms refused them are left out."""
    whole = at.replace(second=0, microsecond=0)
    return (datetime.combine(day, whole, calendar.zone).astimezone(UTC) - start) / _MINUTE
