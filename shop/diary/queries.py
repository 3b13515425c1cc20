"""Reads the shop's week and closures."""

from dataclasses import dataclass
from datetime import date, time, timedelta

from django.utils.translation import gettext as _

from shop.diary import holidays
from shop.diary.calendar import Calendar as Calendar  # other rooms read it from here
from shop.diary.calendar import Closed
from shop.diary.models import Closure, DayOff, ExtraDay, OwnDay, Weekday
from shop.diary.serving import last_day_serving as last_day_serving  # and these
from shop.diary.serving import last_day_to_collect as last_day_to_collect
from shop.diary.spans import Week
from shop.house.models import House
from shop.people.models import User
from shop.web.dated import dated
from shop.web.reading import once

CLOSED_AHEAD = timedelta(days=60)


def calendar(house: House) -> Calendar:
    """The shop's calendar, in two queries; it may be kept for the length of a request or task."""
    days = week()
    return Calendar(
        zone=house.zone,
        cut_off=house.cut_off,
        hours={d.weekday: (d.opens, d.closes) for d in days if d.opens and d.closes},
        dispatch_weekdays=frozenset(d.weekday for d in days if d.dispatches),
        closures=tuple(Closed(c.first, c.last, c.reason) for c in _closures()),
        country=house.country if house.closed_on_holidays else "",
        region=house.region,
    )


@once
def week() -> list[Weekday]:
    """The seven days, Monday first."""
    return list(Weekday.objects.all())


@once
def _closures() -> list[Closure]:
    return list(Closure.objects.all())


def closures_from(today: date) -> list[Closure]:
    """The closures that are not over yet, the next first."""
    return list(Closure.objects.filter(last__gte=today))


def closures_before(today: date) -> list[Closure]:
    """The closures that are over, the latest first."""
    return list(Closure.objects.filter(last__lt=today).order_by("-first"))


def coming_holidays(house: House, today: date, how_many: int = 5) -> list[tuple[date, str]]:
    """The next public holidays on which the shop is closed, for its owner to check."""
    days = calendar(house)
    found = [
        (day, name)
        for year in (today.year, today.year + 1)
        for day, name in holidays.in_year(days.country, days.region, year).items()
        if day >= today
    ]
    return sorted(found)[:how_many]


def closed_days(diary: Calendar, today: date) -> list[Closed]:
    """Closures and holidays of the coming weeks, days in a row for one reason put together.

    A day that is off every week is named only inside a row of closed days. Why the shop is closed
    is written down for the shop itself: only a holiday is told by its name.
    """
    spans: list[Closed] = []
    for ahead in range(CLOSED_AHEAD.days):
        day = today + timedelta(days=ahead)
        why = diary.why_closed(day)
        told = why if why == diary.holiday(day) else ""
        last = spans[-1] if spans else None
        if why and last and last.reason == told and last.last == day - timedelta(days=1):
            spans[-1] = Closed(last.first, day, told)
        elif why and day.weekday() in diary.hours:
            spans.append(Closed(day, day, told))
    return spans


def told_holidays(diary: Calendar, today: date) -> list[Closed]:
    """The public holidays among the closed days of the coming weeks, by their names."""
    return [span for span in closed_days(diary, today) if span.reason]


def away(diary: Calendar, today: date) -> tuple[Closed, ...]:
    """When nothing should be posted to the shop; nothing where it does not close.

    Closures of the coming weeks with the days off around them. A public holiday alone is left out:
    nothing is delivered on it anyway.
    """
    told: dict[tuple[date, date], Closed] = {}
    for closed in closed_days(diary, today):
        if not closed.reason:  # a closure of the shop's own
            first = diary.last_working_day(closed.first - timedelta(days=1)) + timedelta(days=1)
            span = Closed(min(first, closed.first), diary.eve_of_work(closed.last))
            told[span.first, span.last] = span
    return tuple(told.values())


def nobody_here(diary: Calendar, today: date) -> str:
    """The same in sentences, one a line; empty where it does not close."""
    return "\n".join(not_between(span) for span in away(diary, today))


def not_between(span: Closed) -> str:
    """The sentence that asks to let nothing arrive on some days."""
    first, last = dated(span.first, "long"), dated(span.last, "long")
    if span.first == span.last:
        return _("Please don’t let it arrive on %s: nobody is here.") % first
    known = {"first": first, "last": last}
    return _("Please don’t let it arrive between %(first)s and %(last)s: nobody is here.") % known


def extra_days_between(person: User, first: date, last: date) -> list[date]:
    """The days that somebody works on top of the week, from one day to another."""
    found = ExtraDay.objects.filter(person=person, day__range=(first, last))
    return list(found.values_list("day", flat=True))


@dataclass(frozen=True)
class Hours:
    """When one of the staff works: the week, and the days off."""

    person: User
    week: Week
    off: tuple[DayOff, ...]
    is_own: bool  # not the shop's own hours
    extra: tuple[ExtraDay, ...] = ()

    @property
    def days_off(self) -> frozenset[date]:
        """Every single day off."""
        return frozenset(
            each.first + timedelta(days=n)
            for each in self.off
            for n in range((each.last - each.first).days + 1)
        )

    @property
    def extra_hours(self) -> dict[date, tuple[time, time]]:
        """The days worked on top of the week, each with its hours."""
        return {each.day: (each.opens, each.closes) for each in self.extra}


def people_hours(diary: Calendar) -> list[Hours]:
    """The hours of all who may sign in; who has none of their own keeps the shop's."""
    own: dict[int, dict[int, tuple[time, time]]] = {}
    for day in OwnDay.objects.all():
        own.setdefault(day.person_id, {})[day.weekday] = (day.opens, day.closes)
    off: dict[int, list[DayOff]] = {}
    for each in DayOff.objects.all():
        off.setdefault(each.person_id, []).append(each)
    extra: dict[int, list[ExtraDay]] = {}
    for one in ExtraDay.objects.all():
        extra.setdefault(one.person_id, []).append(one)
    return [
        Hours(
            person=person,
            week=own.get(person.pk, diary.hours),
            off=tuple(off.get(person.pk, ())),
            is_own=person.pk in own,
            extra=tuple(extra.get(person.pk, ())),
        )
        for person in User.objects.filter(is_active=True).order_by("name", "pk")
    ]
