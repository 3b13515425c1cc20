"""Tells the shop, once, of a promise whose odds fell under its limit."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.progress.queries import open_builds
from builds.queue.models import Alarm
from builds.queue.queries import dues, promises
from builds.queue.queries.danger import trouble, way_out
from builds.queue.queries.said import Names, Said, names, said
from builds.queue.wording import stand_of, values
from shop.diary.queries import Calendar, calendar
from shop.house.models import House
from shop.house.queries import house
from shop.post.actions import queue_message
from shop.post.models import Occasion
from shop.post.queries import wording_of
from shop.post.wording import Text, fill_text
from shop.web.dated import dated
from shop.web.reading import keeping

RECOVERED = 0.05  # so far over the limit a promise is out of danger, and its next fall is news


def warn(now: datetime) -> int:
    """Tell of promises that fell under the limit, while somebody is at work to read it.

    Each is told of once: not again until another day is promised, or it was well over the limit
    and fell anew. What falls at night and recovers by the morning is no news.

    :returns: how many messages were queued now.
    """
    shop = house()
    diary = calendar(shop)
    with keeping():
        builds = {build.pk: build for build in open_builds()}
        told = said(dues(builds, diary, now), now)
    _end_alarms(told, shop, now)
    if not shop.email or not _is_open(diary, now):
        return 0
    fallen = _news(pk for pk, one in told.items() if one.is_danger)
    known = names([told[pk] for pk in fallen])
    with timezone.override(shop.zone):
        return sum(_warn(builds[pk], told[pk], known, shop, diary, now) for pk in fallen)


def _news(fallen: Iterable[int]) -> list[int]:
    """Those of the builds in danger of whose promise nobody was told yet."""
    promised = promises(fallen)
    told = set(Alarm.objects.filter(over_at=None).values_list("promise", flat=True))
    return [pk for pk, promise in promised.items() if promise.pk not in told]


def _is_open(diary: Calendar, now: datetime) -> bool:
    here = now.astimezone(diary.zone)
    if not diary.is_working_day(here.date()):
        return False
    opens, closes = diary.hours[here.weekday()]
    return opens <= here.time() < closes


def _end_alarms(told: dict[int, Said], shop: House, now: datetime) -> None:
    enough = shop.least_odds_percent / 100 + RECOVERED
    well = {pk for pk, one in told.items() if one.odds >= min(enough, 0.99)}
    standing = Alarm.objects.filter(over_at=None).values_list("pk", "promise__build")
    over = [pk for pk, build_id in standing if build_id in well]
    if over:  # nothing is written where nothing is news: this runs three times a minute
        Alarm.objects.filter(pk__in=over, over_at=None).update(over_at=now)


@transaction.atomic
def _warn(
    build: Build, one: Said, known: Names, shop: House, diary: Calendar, now: datetime
) -> bool:
    promise = promises([build.pk])[build.pk]
    alarm, is_news = Alarm.objects.get_or_create(
        promise=promise, over_at=None, defaults={"fell_at": now}
    )
    if is_news:
        text = _text(build, one, known, shop, diary, now)
        queue_message(
            key=f"danger:{promise.pk}:{alarm.pk}",
            occasion=Occasion.SHIP_BY,
            about=build.about,
            to=shop.email,
            subject=text.subject,
            body=text.body,
            now=now,
        )
    return is_news


def _text(
    build: Build, one: Said, names_: Names, shop: House, diary: Calendar, now: datetime
) -> Text:
    known = values(stand_of(build, diary, now), Occasion.SHIP_BY, shop)
    known["day"] = dated(one.due.day, "long")
    way = way_out(one, names_, build.number)
    known["words"] = "\n".join(filter(None, [trouble(one) + ".", way.words and way.words + "."]))
    text = fill_text(wording_of(Occasion.SHIP_BY), known)
    return Text(_("In danger: %s") % text.subject, text.body)
