"""Makes promises: the latest day that a customer is told."""

from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.actions import locked
from builds.progress.models import Build
from builds.progress.states import Leaves
from builds.queue.models import Promise
from builds.queue.queries import dues, odds_now
from builds.queue.queries.dues import days_for
from shop.clock import day_in
from shop.diary.queries import Calendar, calendar
from shop.history.actions import record
from shop.house.queries import house
from shop.people.models import User
from shop.web.dated import dated

FARTHEST = timedelta(days=3 * 365)  # a year mistyped would silence every reminder


class Refused(ValueError):
    """A promise that cannot be, said in one sentence."""


def promise(build: Build, day: date, *, reason: str, by: User, now: datetime) -> Promise:
    """Keep the latest day that the customer was told, with the odds that it has at this moment.

    The odds come first: while the line is walked nobody else's deed waits for this one.

    :raises Refused: a day in the past, or one on which it cannot go.
    """
    diary = calendar(house())
    check_day(build, day, diary, now)
    odds = odds_now(build, day, diary, now)
    return promise_with(build, day, odds, reason=reason, by=by, now=now)


@transaction.atomic
def promise_with(
    build: Build, day: date, odds: float | None, *, reason: str, by: User, now: datetime
) -> Promise:
    """Keep a day with odds that are known already; None: it was told without any.

    It never moves by itself.

    :raises Refused: a day in the past, or one on which nothing leaves.
    """
    build = locked(build.pk)
    diary = calendar(house())
    check_day(build, day, diary, now)
    newest = build.promises.order_by("-pk").first()
    # The same day again is news where the customer's own waiting had moved it.
    if newest and newest.day == day and dues([build.pk], diary, now)[build.pk].day == day:
        return newest
    told = Promise.objects.create(build=build, day=day, reason=reason, odds=odds, at=now, by=by)
    record("promised", build.about, by, now, day=day.isoformat())
    return told


def check_day(build: Build, day: date, diary: Calendar, now: datetime) -> None:
    """Refuse a day that cannot be promised, in one sentence.

    What is posted leaves on a dispatch day; what is fetched may be ready on any working day.
    """
    if not build.is_open:
        raise Refused(_("This build has ended; there is no day left to promise."))
    if day < day_in(diary.zone, now):
        raise Refused(_("That day is past."))
    is_posted, days = build.leaves_by == Leaves.POST, days_for(build, diary)
    if day < days.first_day(now):
        if not is_posted:
            raise Refused(_("The shop closes before it could be ready on that day."))
        raise Refused(_("The cut-off of that day is past: nothing more leaves on it."))
    if day > day_in(diary.zone, now) + FARTHEST:
        raise Refused(_("That day is more than three years away. Look at the year."))
    if not days.is_dispatch_day(day):
        raise Refused(_nothing_leaves(diary, day) if is_posted else _nobody_works(days, day))


def _nothing_leaves(diary: Calendar, day: date) -> str:
    following = diary.on_or_after(day)
    if following is None:
        return _("Nothing leaves that day, nor within a year. Set the dispatch days first.")
    after = dated(following, "long")
    return _("Nothing leaves that day. The next dispatch day is %s.") % after


def _nobody_works(days: Calendar, day: date) -> str:
    following = days.on_or_after(day)
    if following is None:
        return _("The shop does not work that day, nor within a year. Set the hours first.")
    after = dated(following, "long")
    return _("The shop does not work that day. The next working day is %s.") % after
