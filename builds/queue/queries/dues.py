"""Reads promises and the days that they come to."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from builds.progress.models import Build, Hold
from builds.progress.states import Leaves, Turn
from builds.queue.models import Promise
from shop.clock import day_in
from shop.diary.queries import Calendar
from shop.web.reading import each_once


@dataclass(frozen=True)
class Due:
    """What was promised, how long the customer kept us waiting, and the day that follows."""

    promised: date
    waited_days: int
    day: date
    is_waiting: bool = False  # for the customer, at this moment

    def days_left(self, today: date) -> int:
        """Days until the day; negative when it has passed."""
        return (self.day - today).days


def promises(build_ids: Iterable[int]) -> dict[int, Promise]:
    """Build id → its newest promise."""
    return each_once(promises, _promises, build_ids)


def _promises(build_ids: list[int]) -> dict[int, Promise]:
    found = Promise.objects.filter(build__in=build_ids).select_related("build").order_by("pk")
    return {promise.build_id: promise for promise in found}


def dues(build_ids: Iterable[int], calendar: Calendar, now: datetime) -> dict[int, Due]:
    """Build id → its promise, moved by the customer's own waiting days to one on which it goes."""
    promised = promises(build_ids)
    waits = customer_waits(promised)
    return {
        build_id: _due(promise, waits.get(build_id, []), calendar, now)
        for build_id, promise in promised.items()
    }


def days_for(build: Build, calendar: Calendar) -> Calendar:
    """The calendar with the days on which a build may go: what is fetched, on any working day."""
    return calendar if build.leaves_by == Leaves.POST else calendar.collecting


def due_at(promise: Promise, waits: list[Hold], calendar: Calendar, now: datetime) -> date:
    """The day to which a promise had come at a moment, by the customer's own waiting till then."""
    return _due(promise, waits, calendar, now).day


def customer_waits(build_ids: Iterable[int]) -> dict[int, list[Hold]]:
    """Build id → the holds by which its customer keeps or kept the shop waiting."""
    waits: dict[int, list[Hold]] = {}
    kept = Hold.objects.filter(build__in=list(build_ids), turn=Turn.CUSTOMER, before="")
    for held in kept.select_related("quote"):
        waits.setdefault(held.build_id, []).append(held)
    return waits


def _due(promise: Promise, waits: list[Hold], calendar: Calendar, now: datetime) -> Due:
    waited = len(_days_waited(promise.at, waits, calendar.zone, now))
    is_waiting = any(held.over_at is None for held in waits)
    if not waited:
        return Due(promise.day, 0, promise.day, is_waiting)
    moved = promise.day + timedelta(days=waited)
    day = days_for(promise.build, calendar).on_or_after(moved) or moved
    return Due(promise.day, waited, day, is_waiting)


def _days_waited(told_at: datetime, waits: list[Hold], zone: ZoneInfo, now: datetime) -> set[date]:
    """Calendar days since the promise on which a hold of the customer's stood; each counts once."""
    days: set[date] = set()
    for held in waits:
        first = day_in(zone, max(held.since, told_at))
        last = day_in(zone, min(held.over_at or now, now))
        days.update(first + timedelta(days=n) for n in range((last - first).days))
    return days
