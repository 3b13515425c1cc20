"""Reads the newest run of the forecast, whole: a page never mixes two."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from builds.progress.models import Build
from builds.queue.models import Outlook, Reckoning
from builds.queue.queries.dues import Due, customer_waits, days_for
from builds.queue.queries.line import line
from builds.queue.values import GRID, NEW, odds_by, reckoned, with_new_order
from shop.diary.calendar import Calendar
from shop.diary.learned import ENOUGH
from shop.diary.spans import latest
from shop.house.queries import house
from shop.web.reading import each_once

STALE = timedelta(minutes=10)  # time passes also where nothing changes
OLD = timedelta(hours=1)  # a run that nobody followed up says nothing of today
EARLY = GRID.index(0.05)
FEW = 1000  # runs for one answer at once: right to some 1.5 points


@dataclass(frozen=True)
class Seen:
    """One run of the forecast, and what it says of the builds that were asked for."""

    reckoning: Reckoning | None
    outlooks: dict[int, Outlook]


def newest() -> Reckoning | None:
    """The run that pages show; None before the first."""
    return each_once(newest, lambda _: _newest(), [0]).get(0)


def _newest() -> dict[int, Reckoning]:
    found = Reckoning.objects.order_by("-pk").first()
    return {0: found} if found else {}


def outlooks(build_ids: Iterable[int]) -> dict[int, Outlook]:
    """Build id → what the newest run says of it; nothing for what came after it."""
    return each_once(outlooks, _outlooks, build_ids)


def _outlooks(build_ids: list[int]) -> dict[int, Outlook]:
    run = newest()
    if run is None:
        return {}
    rows = Outlook.objects.filter(reckoning=run, build__in=build_ids).select_related("reckoning")
    return {outlook.build_id: outlook for outlook in rows}


def odds_of(outlook: Outlook, day: date, calendar: Calendar) -> float:
    """The odds that a build leaves by a day, as the run saw it.

    :param calendar: with the days on which the build may go.
    """
    moment = latest(calendar, day, outlook.reckoning.made_at)
    return 0.0 if moment is None else odds_by(outlook.moments, moment)


def early_day(outlook: Outlook, calendar: Calendar) -> date | None:
    """The first day of the range in which a build leaves: the one that one in twenty runs makes.

    :param calendar: with the days on which the build may go.
    """
    if len(outlook.moments) <= EARLY or outlook.moments[EARLY] is None:
        return None
    ready = outlook.reckoning.made_at + timedelta(minutes=outlook.moments[EARLY])
    return calendar.next_dispatch_day(ready)


def speaks(outlook: Outlook | None, now: datetime) -> bool:
    """Whether odds may be said: the run is of today, and enough of the kind were finished."""
    if outlook is None or outlook.behind < ENOUGH:
        return False
    return abs(now - outlook.reckoning.made_at) < OLD


def odds_now(build: Build, day: date, calendar: Calendar, now: datetime) -> float | None:
    """The odds that a build leaves by a day, as they can be said at this moment; else None.

    By the newest run; where that is stale or lacks the build, the line is walked for it alone.
    None as well while the build waits for its customer: the day would move along.
    """
    if any(held.over_at is None for held in customer_waits([build.pk]).get(build.pk, ())):
        return None
    diary = days_for(build, calendar)
    outlook = outlooks([build.pk]).get(build.pk)
    if outlook and abs(now - outlook.reckoning.made_at) < STALE:
        return odds_of(outlook, day, diary) if speaks(outlook, now) else None
    found = line(now)
    moment = latest(diary, day, now)
    if build.pk not in found.kinds or found.finished.get(build.kind, 0) < ENOUGH or moment is None:
        return None
    return odds_by(reckoned(found, FEW)[build.pk].finish_min[-len(GRID) :], moment)


def odds_of_new(kind: str, day: date, calendar: Calendar, now: datetime) -> float | None:
    """The odds that one more order of a kind leaves by a day; None where none can be said."""
    found = line(now)
    moment = latest(calendar, day, now)
    if found.finished.get(kind, 0) < ENOUGH or moment is None:
        return None
    seen = reckoned(with_new_order(found, kind), FEW)
    return odds_by(seen[NEW].finish_min[-len(GRID) :], moment)


def is_in_danger(outlook: Outlook, due: Due | None) -> bool:
    """Whether a promise is less likely to hold than the shop wants; not while its customer waits.

    While the shop waits for its customer the day moves along with the waiting. Nor is it said of
    a kind of which fewer than ten were finished.
    """
    if outlook.behind < ENOUGH:
        return False
    if due is None or due.is_waiting or outlook.odds is None or outlook.due != due.day:
        return False
    return outlook.odds * 100 < house().least_odds_percent
