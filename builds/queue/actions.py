"""Makes promises and reminds the shop of them."""

from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.progress.actions import locked
from builds.progress.models import Build
from builds.progress.queries import open_builds
from builds.queue.models import Promise
from builds.queue.queries import Due, dues
from shop.clock import day_in
from shop.diary.queries import Calendar, calendar
from shop.history.actions import record
from shop.house.models import House
from shop.house.queries import house
from shop.people.models import User
from shop.post.actions import queue_message
from shop.post.models import Message, Occasion

FARTHEST = timedelta(days=3 * 365)  # a year mistyped would silence every reminder
REMIND_AT = (1, 3, 7)  # days before; common practice, no source


class Refused(ValueError):
    """A promise that cannot be, said in one sentence."""


@transaction.atomic
def promise(build: Build, day: date, *, reason: str, by: User, now: datetime) -> Promise:
    """Keep the latest day that the customer was told. It never moves by itself.

    :raises Refused: a day in the past, or one on which nothing leaves.
    """
    build = locked(build.pk)
    if not build.is_open:
        raise Refused(_("This build has ended; there is no day left to promise."))
    diary = calendar(house())
    if day < day_in(diary.zone, now):
        raise Refused(_("That day is past."))
    if day > day_in(diary.zone, now) + FARTHEST:
        raise Refused(_("That day is more than three years away. Look at the year."))
    if not diary.is_dispatch_day(day):
        raise Refused(_nothing_leaves(diary, day))
    newest = build.promises.order_by("-pk").first()
    # The same day again is news where the customer's own waiting had moved it.
    if newest and newest.day == day and dues([build.pk], diary, now)[build.pk].day == day:
        return newest
    told = Promise.objects.create(build=build, day=day, reason=reason, at=now, by=by)
    record("promised", build.about, by, now, day=day.isoformat())
    return told


def _nothing_leaves(diary: Calendar, day: date) -> str:
    following = diary.on_or_after(day)
    if following is None:
        return _("Nothing leaves that day, nor within a year. Set the dispatch days first.")
    after = date_format(following, "l j F")
    return _("Nothing leaves that day. The next dispatch day is %s.") % after


def remind(now: datetime) -> int:
    """Queue the ship-by reminders that are due; each exists once, however often this runs.

    While a build waits for its customer the day moves along with the waiting: nothing is due.

    :returns: how many were queued now.
    """
    shop = house()
    if not shop.email:
        return 0
    builds = list(open_builds())
    due_days = dues([build.pk for build in builds], calendar(shop), now)
    today = day_in(shop.zone, now)
    with timezone.override(shop.zone):
        return sum(
            _remind(build, due_days[build.pk], today, shop, now)
            for build in builds
            if build.pk in due_days and not due_days[build.pk].is_waiting
        )


def bucket(days_left: int) -> str:
    """Which reminder a build is in for: 7, 3, 1, late, or none ('')."""
    if days_left < 0:
        return "late"
    return next((str(mark) for mark in REMIND_AT if days_left <= mark), "")


def _remind(build: Build, due: Due, today: date, shop: House, now: datetime) -> bool:
    which = bucket(due.days_left(today))
    if not which:
        return False
    key = f"shipby:{build.pk}:{which}:{due.day.isoformat()}"
    if Message.objects.filter(key=key).exists():
        return False
    day = date_format(due.day, "l j F")
    name = build.hilt.name if build.hilt else _("blade")
    subject = (
        _("Late: %(name)s (%(number)s) was due %(day)s")
        if which == "late"
        else _("%(name)s (%(number)s) is due %(day)s")
    ) % {"name": name, "number": build, "day": day}
    body = _("%(name)s, build %(number)s, is in %(stage)s. It is due on %(day)s.") % {
        "name": name,
        "number": build,
        "stage": build.get_state_display(),
        "day": day,
    }
    queue_message(
        key=key,
        occasion=Occasion.SHIP_BY,
        about=build.about,
        to=shop.email,
        subject=subject,
        body=body,
        now=now,
    )
    return True
