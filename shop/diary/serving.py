"""The last day on which a parcel may leave and still be there in time. Pure.

Carriers count working days, and which holidays each of them keeps nobody knows here: every day from
Monday to Friday counts as one on the way. A carrier that also works on Saturday is there sooner.
"""

from datetime import date, timedelta

from shop.diary.calendar import Calendar
from shop.diary.dispatch import FAR_ENOUGH

SATURDAY = 5
_ONE = timedelta(days=1)


def last_day_serving(needed_by: date, transit_days: int | None, calendar: Calendar) -> date | None:
    """The last dispatch day from which a parcel is there by a day; None for none in a year before.

    :param transit_days: days on the way at most, Monday to Friday; not known: reckoned with none.
    """
    try:
        latest = days_on_the_way_before(needed_by, transit_days or 0)
    except OverflowError:  # before the first of all days
        return None
    return next((day for day in _back_from(latest) if calendar.is_dispatch_day(day)), None)


def last_day_to_collect(needed_by: date, calendar: Calendar) -> date | None:
    """The last working day by which something is collected in time; None for none in a year."""
    return next((day for day in _back_from(needed_by) if calendar.is_working_day(day)), None)


def days_on_the_way_before(day: date, transit_days: int) -> date:
    """The latest day to set out on, to be there by a day: on the way from Monday to Friday alone.

    What travels for some days comes on a weekday; what does not travel is there on the day itself.
    """
    if not transit_days:
        return day
    day = _weekday(day)
    for _each in range(transit_days):
        day = _weekday(day - _ONE)
    return day


def _weekday(day: date) -> date:
    return day - max(day.weekday() - SATURDAY + 1, 0) * _ONE


def _back_from(day: date) -> list[date]:
    reach = min(FAR_ENOUGH, (day - date.min).days)
    return [day - distance * _ONE for distance in range(reach + 1)]
