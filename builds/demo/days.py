"""Moments and days of the demo, counted from now in the shop's own working days."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from uuid import NAMESPACE_URL, UUID, uuid5

from shop.diary.calendar import Calendar

_DAY = timedelta(days=1)


def token(*words: object) -> UUID:
    """The same words give the same token: two fills are alike."""
    return uuid5(NAMESPACE_URL, "demo " + " ".join(map(str, words)))


@dataclass(frozen=True)
class Days:
    """Counts from a moment, by a calendar."""

    now: datetime
    calendar: Calendar

    @property
    def today(self) -> date:
        """The shop's day at the moment that everything is counted from."""
        return self.calendar.today(self.now)

    def back(self, working_days: int, hour: int = 10, minute: int = 0) -> datetime:
        """A moment on a working day that lies so many before today."""
        day = self.today
        for _ in range(working_days):
            day -= _DAY
            while not self.calendar.is_working_day(day):
                day -= _DAY
        return self.at(day, hour, minute)

    def at(self, day: date, hour: int, minute: int = 0) -> datetime:
        """A time of day by the shop's clock."""
        local = datetime.combine(day, time(hour, minute), self.calendar.zone)
        return local.astimezone(UTC)

    def told(self, days_ahead: int) -> date:
        """A dispatch day: on or after a day to come, or on or before one that has passed."""
        day = self.today + days_ahead * _DAY
        if days_ahead >= 0:
            return self.calendar.on_or_after(day) or day
        while not self.calendar.is_dispatch_day(day):
            day -= _DAY
        return day

    def ahead(self, days: int) -> date:
        """A plain day, so many from today."""
        return self.today + days * _DAY
