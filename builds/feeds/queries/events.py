"""What stands in a feed: promises, dispatch days, days on which the shop is closed.

It goes to calendars that the shop does not keep, so no customer is named and no sum is told; nor
why the shop is closed, which is written down for the shop itself.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.dispatch.queries import day_of, parcel_of
from builds.feeds.values import Event
from builds.progress.models import Build
from builds.progress.queries import open_builds
from builds.progress.states import Leaves
from builds.queue.queries import Due, dues
from builds.queue.queries.ready import ready_since
from shop.diary.models import Closure
from shop.diary.queries import Calendar, calendar, closures_from
from shop.house.models import House
from shop.web.dated import dated

AHEAD = 60  # days
BEFORE_CUT_OFF = timedelta(hours=1)
_DAY = timedelta(days=1)


def events(shop: House, now: datetime) -> list[Event]:
    """All of it, in a constant number of queries, in an order that stays."""
    diary, builds = calendar(shop), list(open_builds())
    due = dues([build.pk for build in builds], diary, now)
    leaving = _leaving(builds, due, diary, now)
    today = diary.today(now)
    found = [
        *_promises(builds, due, shop, diary.first_day(now)),
        *_dispatch_days(leaving, shop, diary, now),
        *map(_closure, closures_from(today)),
        *_holidays(diary, today),
    ]
    return sorted(found, key=lambda event: event.key)


def _promises(
    builds: Iterable[Build], due: Mapping[int, Due], shop: House, first: date
) -> list[Event]:
    promised = [build for build in builds if build.pk in due]
    out = parcel_of(build.pk for build in promised).keys() | ready_since(promised).keys()
    return [
        Event(
            key=f"promise:{build.pk}",
            summary=_summary(build, due[build.pk].day < first and build.pk not in out),
            description="\n".join(_told_of(build, due[build.pk])),
            first=due[build.pk].day,
            end=due[build.pk].day + _DAY,
            category=_("Promise"),
            url=_sheet(build, shop),
        )
        for build in promised
    ]


def _summary(build: Build, is_late: bool) -> str:
    known = {"build": _called(build)}
    if is_late:
        return _("%(build)s: promised, late") % known
    if build.leaves_by == Leaves.COLLECTION:
        return _("%(build)s: promised, is collected") % known
    return _("%(build)s: promised") % known


def _called(build: Build) -> str:
    about = build.hilt or build.blade
    return f"{build} {about.name if about else _('Blade only')}"


def _told_of(build: Build, due: Due) -> Iterable[str]:
    yield _("Stage: %s") % build.get_state_display()
    if due.waited_days:
        yield (
            ngettext(
                "Moved by %d day that its customer kept us waiting.",
                "Moved by %d days that its customer kept us waiting.",
                due.waited_days,
            )
            % due.waited_days
        )
    if due.is_waiting:
        yield _("It waits for its customer now, and the day moves along.")


def _sheet(build: Build, shop: House) -> str:
    page = reverse("bench_sheet", args=[build.number])
    return shop.bench_url.rstrip("/") + page if shop.bench_url else ""


def _leaving(
    builds: Iterable[Build], due: Mapping[int, Due], diary: Calendar, now: datetime
) -> dict[date, list[Build]]:
    """Dispatch day → the builds that leave on it as things stand: packed for it, or due by then."""
    posted = [build for build in builds if build.leaves_by == Leaves.POST]
    packed = parcel_of(build.pk for build in posted)
    found: dict[date, list[Build]] = {}
    for build in posted:
        day: date | None = None
        if build.pk in packed:
            day = day_of(packed[build.pk], diary, now)
        elif build.pk in due:
            day = diary.on_or_after(max(due[build.pk].day, diary.first_day(now)))
        if day:
            found.setdefault(day, []).append(build)
    return found


def _dispatch_days(
    leaving: Mapping[date, Sequence[Build]], shop: House, diary: Calendar, now: datetime
) -> list[Event]:
    first, last = diary.first_day(now), diary.today(now) + AHEAD * _DAY
    days = (first + n * _DAY for n in range((last - first).days + 1))
    return [
        _dispatch_day(day, leaving.get(day, ()), shop, diary)
        for day in days
        if diary.is_dispatch_day(day)
    ]


def _dispatch_day(day: date, builds: Sequence[Build], shop: House, diary: Calendar) -> Event:
    """The hour before the cut-off, as moments: right in every zone, summer or winter."""
    cut_off = diary.cut_off_of(day) - timedelta(minutes=1)  # whose own minute counts as in time
    return Event(
        key=f"dispatch:{day}",
        summary=_leave(len(builds)) % {"count": len(builds), "hour": dated(shop.cut_off, "clock")},
        description="\n".join(_called(build) for build in sorted(builds, key=str)),
        first=cut_off - BEFORE_CUT_OFF,
        end=cut_off,
        category=_("Dispatch day"),
    )


def _leave(count: int) -> str:
    if not count:
        return _("Dispatch day: nothing to leave yet, cut-off %(hour)s")
    return ngettext(
        "Dispatch day: %(count)d build to leave, cut-off %(hour)s",
        "Dispatch day: %(count)d builds to leave, cut-off %(hour)s",
        count,
    )


def _closure(closure: Closure) -> Event:
    return Event(
        key=f"closure:{closure.pk}",
        summary=_("Shop closed"),
        first=closure.first,
        end=closure.last + _DAY,
        category=_("Closed"),
    )


def _holidays(diary: Calendar, today: date) -> list[Event]:
    days = [today + n * _DAY for n in range(AHEAD + 1)]
    kept = {*diary.hours, *diary.dispatch_weekdays}  # a day off every week is no news
    return [
        Event(
            key=f"holiday:{day}",
            summary=_("Shop closed: %s") % diary.holiday(day),
            first=day,
            end=day + _DAY,
            category=_("Closed"),
        )
        for day in days
        if day.weekday() in kept and diary.holiday(day)
    ]
