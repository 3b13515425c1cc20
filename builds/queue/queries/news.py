"""Promises that want a word: days on which nothing leaves any more, and days kept but not told."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Max

from builds.dispatch.queries import parcel_of
from builds.progress.models import Build
from builds.progress.queries import open_builds
from builds.progress.states import Leaves
from builds.queue.models import Promise
from builds.queue.queries.dues import Due, days_for, dues
from builds.queue.queries.outlooks import odds_of, outlooks, speaks
from shop.diary.calendar import Calendar
from shop.house.queries import house
from shop.post.models import Message, Occasion
from shop.post.models import State as Post
from shop.post.queries import TOLD

AHEAD = 60  # dispatch days that are looked at for one that is likely enough
# Messages that name the day, or were written freely: after one of them it is no news any more.
NAMES_THE_DAY = (Occasion.LATE, Occasion.SHIPS_ON, Occasion.SENT, Occasion.FREE)


@dataclass(frozen=True)
class Swallowed:
    """A promise whose day is no dispatch day any more."""

    build: Build
    due: Due
    name: str


def is_swallowed(build: Build, due: Due | None, calendar: Calendar, now: datetime) -> bool:
    """Whether a build is to leave by post on a day to come on which nothing leaves."""
    if due is None or build.leaves_by != Leaves.POST or due.day < calendar.first_day(now):
        return False
    return not calendar.is_dispatch_day(due.day)


def swallowed(calendar: Calendar, now: datetime) -> list[Swallowed]:
    """The open builds of which nothing leaves on their day, the nearest day first."""
    found = {build.pk: build for build in open_builds()}
    due, packed = dues(found, calendar, now), parcel_of(found)
    lost = [
        Swallowed(build, due[pk], _name(build))
        for pk, build in found.items()
        if pk not in packed and is_swallowed(build, due.get(pk), calendar, now)
    ]
    return sorted(lost, key=lambda each: (each.due.day, each.build.number))


def _name(build: Build) -> str:
    about = build.hilt or build.blade
    return about.name if about else build.get_kind_display()


def untold(builds: Sequence[Build]) -> dict[int, Promise]:
    """Build id → its newest promise, where that is later than the day told last.

    Told is what stood as the last message went that names the day, else the first day.
    """
    told_at = _told_at(builds)
    made: dict[int, list[Promise]] = {}
    for promise in Promise.objects.filter(build__in=[b.pk for b in builds]).order_by("pk"):
        made.setdefault(promise.build_id, []).append(promise)
    found = {}
    for build in builds:
        promises = made.get(build.pk, [])
        at = max(filter(None, map(told_at.get, _abouts(build))), default=None)
        known = [each for each in promises if at and each.at <= at] or promises[:1]
        if known and promises[-1].day > known[-1].day:
            found[build.pk] = promises[-1]
    return found


def _abouts(build: Build) -> tuple[str, str]:
    return build.about, f"order:{build.item.order_id}"


def _told_at(builds: Iterable[Build]) -> dict[str, datetime]:
    said = Message.objects.filter(
        about__in={key for build in builds for key in _abouts(build)},
        customer__isnull=False,
        occasion__in=NAMES_THE_DAY,
        state__in=[*TOLD, Post.QUEUED],
    )
    return dict(said.order_by().values_list("about").annotate(at=Max("made_at")))


def later_day(build: Build, day: date, calendar: Calendar, now: datetime) -> date | None:
    """The first day after a day on which a build may go that has the odds that the shop wants.

    Where no odds can be said, the first such day; None where no day that can be seen will do.
    """
    diary = days_for(build, calendar)
    coming = diary.on_or_after(max(day + timedelta(days=1), diary.first_day(now)))
    outlook = outlooks([build.pk]).get(build.pk)
    if outlook is None or not speaks(outlook, now):
        return coming
    least = house().least_odds_percent / 100
    for _place in range(AHEAD):
        if coming is None or odds_of(outlook, coming, diary) >= least:
            return coming
        coming = diary.on_or_after(coming + timedelta(days=1))
    return None
