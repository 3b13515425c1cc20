"""Reminds the shop of what is due, and of the holds to ask about again."""

from datetime import date, datetime, timedelta

from django.utils import timezone
from django.utils.translation import gettext as _

from builds.progress.models import Build, Hold
from builds.progress.queries import open_builds, standing_holds
from builds.progress.states import STAGES
from builds.queue.queries import Due, dues
from builds.queue.queries.dues import days_for
from builds.queue.queries.ready import ready_since
from builds.queue.queries.said import SURE, said
from builds.queue.wording import stand_of, values
from shop.diary.queries import Calendar, calendar
from shop.house.models import House
from shop.house.queries import house
from shop.post.actions import queue_message
from shop.post.models import Message, Occasion
from shop.post.queries import wording_of
from shop.post.wording import Text, fill_text
from shop.web.dated import dated

REMIND_AT = (1, 3, 7)  # days before; common practice, no source


def remind(now: datetime) -> int:
    """Queue the ship-by reminders that are due; each exists once, however often this runs.

    While a build waits for its customer the day moves along with the waiting: nothing is due.
    Nor is anything of what stands ready to be fetched.
    A week before a day that is as good as sure nothing is said; three days before it is.
    Nobody reads them on a day off: what falls on one comes on the last working day before it.

    :returns: how many were queued now.
    """
    shop = house()
    diary = calendar(shop)
    if not shop.email or not diary.somebody_reads(diary.today(now)):
        return 0
    builds = list(open_builds())
    due_days = dues([build.pk for build in builds], diary, now)
    odds = said(due_days, now)
    sure = {pk for pk, one in odds.items() if one.odds >= SURE}
    idle = {pk for pk, due in due_days.items() if due.is_waiting} | ready_since(builds).keys()
    with timezone.override(shop.zone):
        return sum(
            _remind(build, due_days[build.pk], build.pk in sure, shop, now)
            for build in builds
            if build.pk in due_days.keys() - idle
        )


def bucket(day: date, diary: Calendar, now: datetime) -> str:
    """Which reminder a day is in for: 7, 3, 1, late, or none ('').

    Where several fall on the same working day, as before a closure, the nearest stands for all.
    """
    if diary.days_left(day, now) < 0:
        return "late"
    today = diary.today(now)
    marks = ((mark, day - timedelta(days=mark)) for mark in REMIND_AT)
    return next((str(mark) for mark, on in marks if diary.last_working_day(on) <= today), "")


def _remind(build: Build, due: Due, is_sure: bool, shop: House, now: datetime) -> bool:
    which = bucket(due.day, days_for(build, calendar(shop)), now)
    if not which or (is_sure and which == "7"):
        return False
    key = f"shipby:{build.pk}:{which}:{due.day.isoformat()}"
    if Message.objects.filter(key=key).exists():
        return False
    text = _ship_by(build, due, which, shop, now)
    queue_message(
        key=key,
        occasion=Occasion.SHIP_BY,
        about=build.about,
        to=shop.email,
        subject=text.subject,
        body=text.body,
        now=now,
    )
    return True


def _ship_by(build: Build, due: Due, which: str, shop: House, now: datetime) -> Text:
    """The shop's own words for the reminder. The day is said even where it has passed."""
    known = values(stand_of(build, calendar(shop), now), Occasion.SHIP_BY, shop)
    known["day"] = dated(due.day, "long")
    known["words"] = _("That day has passed.") if which == "late" else ""
    text = fill_text(wording_of(Occasion.SHIP_BY), known)
    return Text(_("Late: %s") % text.subject, text.body) if which == "late" else text


def chase(now: datetime) -> int:
    """Remind the shop of the holds whose day to ask again has come; once for each such day.

    :returns: how many were queued now.
    """
    shop = house()
    diary = calendar(shop)
    if not shop.email or not diary.has_opened(now):
        return 0
    come = (
        standing_holds()
        .filter(chase_on__lte=diary.today(now), build__state__in=STAGES)
        .order_by("chase_on", "pk")
    )
    asked = Message.objects.filter(key__in=[_chase_key(held) for held in come])
    known = set(asked.values_list("key", flat=True))
    to_ask = [held for held in come if _chase_key(held) not in known]
    about = {build.pk: build for build in open_builds().filter(holds__in=to_ask)}
    with timezone.override(shop.zone):
        for held in to_ask:
            _chase(held, about[held.build_id], shop, diary, now)
    return len(to_ask)


def _chase_key(held: Hold) -> str:
    return f"chase:{held.pk}:{held.chase_on.isoformat()}"


def _chase(held: Hold, build: Build, shop: House, diary: Calendar, now: datetime) -> None:
    known = values(stand_of(build, diary, now), Occasion.CHASE, shop)
    known["day"] = dated(held.chase_on, "long")
    known["words"] = f"{held.get_turn_display().capitalize()}: {held.words}"
    text = fill_text(wording_of(Occasion.CHASE), known)
    queue_message(
        key=_chase_key(held),
        occasion=Occasion.CHASE,
        about=build.about,
        to=shop.email,
        subject=text.subject,
        body=text.body,
        now=now,
    )
