"""The dispatch day on paper: each parcel with all that is needed where no signal reaches."""

from datetime import date, datetime

from builds.dispatch.queries import day_of, to_leave
from builds.dispatch.queries.slips import Slip, slips_of
from shop.diary.queries import Calendar


def slips(day: date, calendar: Calendar, now: datetime) -> list[Slip]:
    """The parcels of a day that are still here, in a constant number of queries."""
    return slips_of(one for one in to_leave(day) if day_of(one, calendar, now) == day)
