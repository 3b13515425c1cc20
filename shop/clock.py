"""The only place that reads the time; everything else is handed a moment or a day."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo


def now() -> datetime:
    """The present moment, in UTC."""
    return datetime.now(UTC)


def day_in(zone: ZoneInfo, moment: datetime) -> date:
    """The calendar day of a moment in a zone."""
    return moment.astimezone(zone).date()
