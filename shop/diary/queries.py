"""Reads the shop's week and closures."""

from shop.diary.calendar import Calendar, Closed
from shop.diary.models import Closure, Weekday
from shop.house.models import House


def calendar(house: House) -> Calendar:
    """The shop's calendar, in two queries; it may be kept for the length of a request or task."""
    week = list(Weekday.objects.all())
    return Calendar(
        zone=house.zone,
        cut_off=house.cut_off,
        hours={d.weekday: (d.opens, d.closes) for d in week if d.opens and d.closes},
        dispatch_weekdays=frozenset(d.weekday for d in week if d.dispatches),
        closures=tuple(Closed(c.first, c.last, c.reason) for c in Closure.objects.all()),
        country=house.country if house.closed_on_holidays else "",
        region=house.region,
    )
