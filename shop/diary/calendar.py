"""The shop's calendar as a frozen value: hours, closures, holidays, dispatch days."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from shop.clock import day_in
from shop.diary import dispatch, holidays


@dataclass(frozen=True)
class Closed:
    """Days on which the shop is closed, both ends included."""

    first: date
    last: date
    reason: str = ""


@dataclass(frozen=True)
class Calendar:
    """Answers for any day whether the shop works and whether parcels leave.

    ``country`` is empty where the shop works on public holidays.
    """

    zone: ZoneInfo
    cut_off: time
    hours: Mapping[int, tuple[time, time]] = field(hash=False)
    dispatch_weekdays: frozenset[int]
    closures: tuple[Closed, ...] = ()
    country: str = ""
    region: str = ""

    def why_closed(self, day: date) -> str:
        """Why the shop is closed on a day, in words; empty when no closure or holiday is on."""
        for closure in self.closures:
            if closure.first <= day <= closure.last:
                return closure.reason or _("closed")
        return self.holiday(day)

    def holiday(self, day: date) -> str:
        """The name of the public holiday on which the shop is closed; empty on every other day."""
        return holidays.in_year(self.country, self.region, day.year).get(day, "")

    def is_closed(self, day: date) -> bool:
        """Whether a closure or a public holiday is on; a weekday off is not a closure."""
        return bool(self.why_closed(day))

    def is_working_day(self, day: date) -> bool:
        """Whether the shop works on a day."""
        return day.weekday() in self.hours and not self.is_closed(day)

    def is_dispatch_day(self, day: date) -> bool:
        """Whether parcels leave on a day."""
        return day.weekday() in self.dispatch_weekdays and not self.is_closed(day)

    @property
    def collecting(self) -> "Calendar":
        """The same for what customers fetch: on any working day, until the shop closes."""
        if not self.hours:
            return self
        closes = max(closes for _opens, closes in self.hours.values())
        return replace(self, dispatch_weekdays=frozenset(self.hours), cut_off=closes)

    def next_dispatch_day(self, now: datetime) -> date | None:
        """The day on which a parcel leaves that is closed now; None for none within a year."""
        try:
            return dispatch.next_day(
                now, self.dispatch_weekdays, self.cut_off, self.zone, self.is_closed
            )
        except dispatch.NoDispatchDay:
            return None

    def first_day(self, now: datetime) -> date:
        """The first day on which something may still leave: today up to its cut-off, then tomorrow.

        Whether anything leaves on that day at all is not asked.
        """
        return dispatch.next_day(now, range(7), self.cut_off, self.zone)

    def cut_off_of(self, day: date) -> datetime:
        """The moment from which nothing leaves on a day any more."""
        return dispatch.after_cut_off(day, self.cut_off, self.zone)

    def days_left(self, day: date, now: datetime) -> int:
        """Days until a day; below zero once its cut-off is past, that very day already."""
        left = (day - self.today(now)).days
        return -1 if left == 0 and self.first_day(now) > day else left

    def closed_for(self, day: date, now: datetime) -> date:
        """The day on which a parcel leaves that is closed now for a day.

        A day that is past, or whose cut-off is, has gone: the next dispatch day takes its place.
        """
        return day if day >= self.first_day(now) else self.next_dispatch_day(now) or day

    def on_or_after(self, day: date) -> date | None:
        """The first dispatch day on or after a day; None for none within a year."""
        try:
            return dispatch.roll_forward(day, self.dispatch_weekdays, self.is_closed)
        except dispatch.NoDispatchDay:
            return None

    def last_before(self, day: date, since: date) -> date:
        """The last dispatch day before a day and not before another; that other if none is."""
        between = dispatch.days_between(
            since, day - timedelta(days=1), self.dispatch_weekdays, self.is_closed
        )
        return between[-1] if between else since

    def working_day(self, day: date) -> date:
        """The first working day on or after a day; the day itself for a shop without hours."""
        following = (day + timedelta(days=n) for n in range(dispatch.FAR_ENOUGH + 1))
        return next((each for each in following if self.is_working_day(each)), day)

    def last_working_day(self, day: date) -> date:
        """The last working day on or before a day; the day itself for a shop without hours."""
        before = (day - timedelta(days=n) for n in range(dispatch.FAR_ENOUGH + 1))
        return next((each for each in before if self.is_working_day(each)), day)

    def somebody_reads(self, day: date) -> bool:
        """Whether a reminder finds somebody; a shop that wrote down no hours is taken to be there.

        Of such a shop nothing would ever be heard otherwise.
        """
        return self.is_working_day(day) or not self.hours

    def eve_of_work(self, day: date) -> date:
        """The last day before the shop works again after a day; that day itself on most."""
        return self.working_day(day + timedelta(days=1)) - timedelta(days=1)

    def has_opened(self, now: datetime) -> bool:
        """Whether the shop works today and its working day has begun."""
        here = now.astimezone(self.zone)
        if not self.is_working_day(here.date()):
            return False
        opens, _closes = self.hours[here.weekday()]
        return here.time() >= opens

    def today(self, now: datetime) -> date:
        """The shop's calendar day at a moment."""
        return day_in(self.zone, now)

    def rule_days(self, today: date, n: int) -> list[dict[str, Any]]:
        """The next ``n`` days as plain values, for the drawn rule of days."""
        return [self._rule_day(today + timedelta(days=ahead), today) for ahead in range(n)]

    def _rule_day(self, day: date, today: date) -> dict[str, Any]:
        why = self.why_closed(day)
        return {
            "date": day,
            "is_today": day == today,
            "is_dispatch": self.is_dispatch_day(day),
            "is_working": self.is_working_day(day),
            "is_closed": bool(why),
            "why_closed": why,
            "flags": [],
        }
