"""The only place that reads the time; everything else is handed a moment or a day.

A clock may be wrong, by an hour or by a year, and be put right. What is asked of a moment by how
long ago it was is therefore asked by ``within`` and ``ago``: a moment that is still to come was
written while the clock was ahead, and lies as far back as need be.
"""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

AHEAD = timedelta(minutes=5)  # of one machine's clock before another's, at most


def now() -> datetime:
    """The present moment, in UTC."""
    return datetime.now(UTC)


def within(moment: datetime, span: timedelta, now: datetime) -> bool:
    """Whether a moment lies less than a span back."""
    return -AHEAD <= now - moment < span


def ago(column: str, span: timedelta, now: datetime) -> Q:
    """Rows whose moment lies a span back, or more."""
    return Q(**{f"{column}__lte": now - span}) | Q(**{f"{column}__gt": now + AHEAD})


def lately(column: str, span: timedelta, now: datetime) -> Q:
    """The others: rows whose moment lies less than a span back."""
    return Q(**{f"{column}__gt": now - span, f"{column}__lte": now + AHEAD})


def day_in(zone: ZoneInfo, moment: datetime) -> date:
    """The calendar day of a moment in a zone."""
    return moment.astimezone(zone).date()
