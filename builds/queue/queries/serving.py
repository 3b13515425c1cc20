"""Reads which day serves the day by which something is needed."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.dispatch.models import Service
from builds.dispatch.queries import parcel_of
from builds.dispatch.queries.usually import services_to
from builds.progress.models import Build
from builds.progress.states import Leaves
from shop.diary.queries import Calendar, last_day_serving, last_day_to_collect
from shop.orders.models import Consignee, Order
from shop.web.dated import dated


@dataclass(frozen=True)
class Serving:
    """When something is needed, and the last day on which it may leave, or be ready, for that."""

    needed_by: date
    last: date | None  # None: no day serves it
    is_collected: bool = False
    service: Service | None = None  # whose days on the way are taken off

    @property
    def transit_days(self) -> int | None:
        """Days on the way at most, Monday to Friday; None where nobody wrote them down."""
        return self.service.transit_days if self.service else None

    @property
    def is_sure(self) -> bool:
        """Whether it is known how long it is on the way."""
        return self.is_collected or self.transit_days is not None

    def is_missed_by(self, day: date) -> bool:
        """Whether what leaves on a day comes too late."""
        return self.last is None or day > self.last

    @property
    def must(self) -> str:
        """By which day it must leave, in one sentence."""
        if self.last is None:
            return _("No day on which it may leave serves that.")
        words = _("It must be ready by %s.") if self.is_collected else _("It must leave by %s.")
        return words % dated(self.last, "long")

    @property
    def because(self) -> str:
        """How long it is reckoned to be on the way, and by what; empty where it is collected."""
        if self.is_collected:
            return ""
        if self.service is None:
            return _("Days on the way are not counted: no service that gets there is written down.")
        if self.transit_days is None:
            words = _("Days on the way are not counted: how long “%s” takes is not written down.")
            return words % self.service
        words = ngettext(
            "“%(service)s” takes %(n)s day at most, Monday to Friday.",
            "“%(service)s” takes %(n)s days at most, Monday to Friday.",
            self.transit_days,
        )
        return words % {"service": self.service, "n": self.transit_days}

    def said(self, first: date, promised: date | None = None) -> "Said":
        """The same in words, with what is wrong with it.

        :param first: the first day on which something may still leave.
        :param promised: the day by which it leaves, as the customer was told.
        """
        return Said(self.needed_by, self.must, self.because, self._warning(first, promised))

    def _warning(self, first: date, promised: date | None) -> str:
        if self.last is not None and self.last < first:
            return _("That day is past: it comes too late whenever it leaves.")
        if promised and self.is_missed_by(promised):
            return _("The promise is later than that: kept to its day, it comes too late.")
        return ""


@dataclass(frozen=True)
class Said:
    """What a page says of a day by which something is needed."""

    needed_by: date
    must: str
    because: str
    warning: str


def servings(builds: Sequence[Build], calendar: Calendar) -> dict[int, Serving]:
    """Build id → what its order's needed-by asks; none for orders that name no day.

    By the service of its parcel, where it lies in one. Wants order and customer read along.
    """
    days = {build: day for build in builds if (day := build.item.order.needed_by)}
    posted = [build for build in days if build.leaves_by == Leaves.POST]
    parcels = parcel_of(build.pk for build in posted)
    usual = services_to(build.item.order.consignee for build in posted) if posted else {}
    found = {}
    for build, day in days.items():
        order, parcel = build.item.order, parcels.get(build.pk)
        by = parcel.service if parcel and parcel.service else usual.get(order.consignee.key)
        found[build.pk] = _serving(day, build.leaves_by, by, calendar)
    return found


def serving_of_order(order: Order, builds: Iterable[Build], calendar: Calendar) -> Serving | None:
    """What an order's needed-by asks, by the build that must leave first; None for no day."""
    if order.needed_by is None:
        return None
    of_builds = servings(list(builds), calendar)
    if of_builds:
        return min(of_builds.values(), key=lambda one: one.last or date.min)
    return serving_to(order.consignee, order.needed_by, Leaves.POST, calendar)


def serving_to(to: Consignee, needed_by: date, leaves_by: str, calendar: Calendar) -> Serving:
    """What a day asks of something that is not booked yet."""
    posted = leaves_by == Leaves.POST
    by = services_to([to]).get(to.key) if posted else None
    return _serving(needed_by, leaves_by, by, calendar)


def _serving(needed_by: date, leaves_by: str, by: Service | None, calendar: Calendar) -> Serving:
    if leaves_by != Leaves.POST:
        return Serving(needed_by, last_day_to_collect(needed_by, calendar), is_collected=True)
    transit = by.transit_days if by else None
    return Serving(needed_by, last_day_serving(needed_by, transit, calendar), service=by)
