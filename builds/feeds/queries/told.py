"""Reads what was last told of each event."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Max, Q

from builds.feeds.models import FeedEvent
from builds.feeds.values import Event


def told_of(events: Iterable[Event]) -> dict[str, FeedEvent]:
    """Key → what was last told, of these events and of all others that have not dropped out."""
    keys = [event.key for event in events]
    rows = FeedEvent.objects.filter(Q(key__in=keys) | ~Q(mark=""))
    return {row.key: row for row in rows}


def is_news(events: Iterable[Event], told: dict[str, FeedEvent]) -> bool:
    """Whether anything is to be told that was not told so before."""
    marks = {event.key: event.mark for event in events}
    return marks != {key: row.mark for key, row in told.items()}


def changed_last() -> datetime | None:
    """When an event changed last, or dropped out."""
    newest: datetime | None = FeedEvent.objects.aggregate(newest=Max("changed_at"))["newest"]
    return newest
