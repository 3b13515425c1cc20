"""How many finished builds stand behind what is said of dates, and what customers may see of it."""

from collections.abc import Iterable
from datetime import datetime

from builds.progress.models import Build
from builds.progress.worked import past_by_kind
from builds.queue.queries.dues import dues
from builds.queue.queries.outlooks import outlooks, speaks
from shop.diary.queries import Calendar
from shop.house.queries import house


def finished(calendar: Calendar, now: datetime) -> dict[str, int]:
    """Kind → how many finished builds stand behind its hours."""
    return {kind: past.builds for kind, past in past_by_kind(calendar, now).items()}


def shown_odds(builds: Iterable[Build], calendar: Calendar, now: datetime) -> dict[int, float]:
    """Build id → the odds that its customer sees: only where the shop wishes it and knows them.

    Nothing while the shop waits for the customer, whose days move the day along.
    """
    if not house().shows_odds:
        return {}
    ids = [build.pk for build in builds if build.is_open]
    due, seen = dues(ids, calendar, now), outlooks(ids)
    return {
        key: outlook.odds
        for key, outlook in seen.items()
        if outlook.odds is not None
        and speaks(outlook, now)
        and (told := due.get(key)) is not None
        and outlook.due == told.day
        and not told.is_waiting
    }
