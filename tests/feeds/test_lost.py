"""No day and no build is lost, whatever week, closures and promises a shop has."""

import random
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

import pytest
from django.test import Client

from builds.feeds.models import Feed
from builds.feeds.queries.events import AHEAD
from builds.models import Build, Promise
from builds.progress.states import State
from builds.queue.queries import dues
from shop.diary.models import Closure, Weekday
from shop.diary.queries import Calendar, calendar
from shop.house.models import House
from shop.people.models import User
from tests.feeds.reading import body, hold_to_the_rules
from tests.makers import make_build

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]
DAY = timedelta(days=1)


def a_shop(seed: int, builds: list[Build], owner: User, now: datetime) -> Calendar:
    """Some week, closures and promises."""
    dice = random.Random(seed)  # noqa: S311 (cases, not secrets)
    for weekday in Weekday.objects.all():
        weekday.dispatches = dice.random() < 0.5
        weekday.save()
    zone = dice.choice(["Europe/London", "America/New_York", "Pacific/Apia", "Asia/Kolkata"])
    cut_off = time(dice.randrange(24), dice.randrange(60))
    House.objects.update(
        zone_name=zone, cut_off=cut_off, country=dice.choice(["GB", "DE", "JP"]), region=""
    )
    Closure.objects.all().delete()
    for _ in range(dice.randrange(4)):
        first = now.date() + dice.randrange(-20, 80) * DAY
        Closure.objects.create(first=first, last=first + dice.randrange(30) * DAY, reason="away")
    for build in dice.sample(builds, 4):
        day = now.date() + dice.randrange(-10, 90) * DAY
        Promise.objects.create(build=build, day=day, at=now, by=owner)
    return calendar(House.objects.get())


def _days(event: dict[str, str]) -> Iterator[date]:
    first, end = (
        datetime.strptime(event[name].rpartition(":")[2], "%Y%m%d").date()
        for name in ("DTSTART", "DTEND")
    )
    yield from (first + n * DAY for n in range((end - first).days))


@pytest.mark.parametrize("seeds", [range(15), range(15, 30)])
def test_no_day_and_no_build_is_lost(
    stranger: Client, feed: Feed, owner: User, now: datetime, seeds: range
) -> None:
    builds = [make_build(owner, now, State.INSTALL) for _ in range(8)]
    for seed in seeds:
        diary = a_shop(seed, builds, owner, now)
        events = hold_to_the_rules(body(stranger, feed))
        by_kind = {kind: [e for e in events if e["CATEGORIES"] == kind] for kind in (
            "Promise", "Dispatch day", "Closed",
        )}  # fmt: skip
        due = dues([build.pk for build in builds], diary, now)
        coming = [diary.today(now) + n * DAY for n in range(AHEAD + 1)]
        told = sorted(day for event in by_kind["Promise"] for day in _days(event))
        assert told == sorted(each.day for each in due.values())
        ends = {
            datetime.strptime(e["DTEND"], "%Y%m%dT%H%M%S%z").astimezone(diary.zone).date()
            for e in by_kind["Dispatch day"]
        }
        still = [day for day in coming if day >= diary.first_day(now)]
        assert ends == {day for day in still if diary.is_dispatch_day(day)}
        closed = {day for event in by_kind["Closed"] for day in _days(event)}
        works = {*diary.hours, *diary.dispatch_weekdays}
        assert closed >= {d for d in coming if diary.is_closed(d) and d.weekday() in works}
        assert not closed & {d for d in coming if not diary.is_closed(d)}
        leave = sum(len(e.get("DESCRIPTION", "").split("\\n")) for e in by_kind["Dispatch day"]
                    if e.get("DESCRIPTION"))  # fmt: skip
        rolled = [diary.on_or_after(max(each.day, diary.first_day(now))) for each in due.values()]
        assert leave == len([day for day in rolled if day and day <= coming[-1]])
