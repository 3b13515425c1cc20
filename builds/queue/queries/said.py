"""What the forecast says of promises, for pages: odds in percent, danger, and what helps."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from builds.progress.models import Build
from builds.queue.models import Outlook
from builds.queue.queries.dues import Due, days_for
from builds.queue.queries.outlooks import early_day, is_in_danger, odds_of, outlooks, speaks
from builds.queue.states import Remedy, percent
from shop.diary.calendar import Calendar
from shop.diary.learned import ENOUGH
from shop.house.queries import house
from shop.people.models import User
from shop.stores.models import PurchaseLine

AHEAD = 6  # dispatch days of which the odds stand beside a day to be chosen
SURE = 0.95  # a promise of such odds needs no word a week before
LEAST = 3  # days that are shown, however likely the first


@dataclass(frozen=True)
class Said:
    """What the newest run says of one promise."""

    outlook: Outlook
    due: Due
    is_danger: bool

    @property
    def odds(self) -> float:
        """From 0 to 1."""
        return self.outlook.odds or 0.0

    @property
    def percent(self) -> int:
        """What is said: never wholly sure, in either direction."""
        return percent(self.odds)


@dataclass(frozen=True)
class DayOdds:
    """A day to come on which it may go, and the odds that a build leaves by it."""

    day: date
    odds: float
    is_enough: bool

    @property
    def percent(self) -> int:
        """What is said of it."""
        return percent(self.odds)


@dataclass(frozen=True)
class Choice:
    """What stands beside the choice of a day: days with odds, or a range alone, or nothing."""

    days: tuple[DayOdds, ...] = ()
    early: date | None = None
    late: date | None = None
    old_since: datetime | None = None  # the run says no odds for its age alone

    @property
    def first_enough(self) -> date | None:
        """The first day that has the odds that the shop wants."""
        return next((each.day for each in self.days if each.is_enough), None)


def said(due: Mapping[int, Due], now: datetime) -> dict[int, Said]:
    """Build id → what the forecast says of its promise; nothing where it cannot say."""
    found = outlooks(due)
    return {
        pk: Said(outlook, due[pk], is_in_danger(outlook, due[pk]))
        for pk, outlook in found.items()
        if speaks(outlook, now) and outlook.due == due[pk].day and outlook.odds is not None
    }


def choice(build: Build, calendar: Calendar, now: datetime) -> Choice:
    """The coming days on which it may go with their odds, from the first that is likely at all.

    Where too few of the kind were finished to say odds, or the run is old, a range alone.
    """
    outlook = outlooks([build.pk]).get(build.pk)
    if outlook is None:
        return Choice()
    diary = days_for(build, calendar)
    if not speaks(outlook, now):
        old_since = None if outlook.behind < ENOUGH else outlook.reckoning.made_at
        return Choice(early=early_day(outlook, diary), late=outlook.day_95, old_since=old_since)
    least = house().least_odds_percent / 100
    coming = (each for each in _coming(outlook, diary, now) if each[1] >= 0.05)
    days = [DayOdds(day, odds, odds >= least) for day, odds in coming]
    enough = next((at for at, each in enumerate(days) if each.is_enough), 0)
    first = max(0, enough - AHEAD + 2)
    return Choice(tuple(days[first : first + AHEAD]))


def _coming(outlook: Outlook, calendar: Calendar, now: datetime) -> list[tuple[date, float]]:
    found: list[tuple[date, float]] = []
    day = calendar.next_dispatch_day(now)
    while day and len(found) < 60 and (len(found) < LEAST or found[-1][1] < SURE):
        found.append((day, odds_of(outlook, day, calendar)))
        day = calendar.on_or_after(date.fromordinal(day.toordinal() + 1))
    return found


@dataclass(frozen=True)
class Names:
    """Who and what remedies name, read together."""

    people: Mapping[int, str]
    lines: Mapping[int, PurchaseLine]


def names(found: Iterable[Said]) -> Names:
    """The people and the lines on order in what helps, in at most two queries."""
    helps = [each.outlook for each in found if each.is_danger]
    people = {one.remedy_with["person"] for one in helps if one.remedy == Remedy.EXTRA_DAY}
    lines = {one.remedy_with.get("line") for one in helps if one.remedy == Remedy.CHASE}
    on_order = PurchaseLine.objects.select_related("purchase", "part")
    return Names(
        dict(User.objects.filter(pk__in=people).values_list("pk", "name")) if people else {},
        {line.pk: line for line in on_order.filter(pk__in=lines)} if lines else {},
    )
