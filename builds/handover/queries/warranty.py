"""How long a build is under warranty, and what was promised as it left."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Q

from builds.handover.models import Return, Warranty
from builds.handover.states import Covered
from builds.progress.models import Build
from builds.progress.states import FINISHED, Kind
from shop.house.models import House
from shop.web.reading import each_once


@dataclass(frozen=True)
class Terms:
    """What is promised of a build: its last day, its own days, or that an earlier one runs on."""

    last_day: date | None
    days: int
    runs_on: bool = False


def warranties(build_ids: Iterable[int]) -> dict[int, Warranty]:
    """Build id → what was promised as it left."""
    return each_once(warranties, _warranties, build_ids)


def _warranties(build_ids: list[int]) -> dict[int, Warranty]:
    return {each.build_id: each for each in Warranty.objects.filter(build__in=build_ids)}


def last_day(build: Build, left_on: date, shop: House) -> date | None:
    """The last day of the warranty of a build that leaves; None where there is none.

    A repair under warranty leaves the first warranty as it runs, unless the shop promises so many
    days after it at least. What came back is judged by what was decided about it.
    """
    return terms(build, left_on, shop).last_day


def terms(build: Build, left_on: date, shop: House) -> Terms:
    """What a build is promised that leaves on a day."""
    kind = _counts_as(build)
    if kind != Kind.WARRANTY:
        days = shop.repair_days if kind == Kind.REPAIR else shop.warranty_days
        return Terms(left_on + timedelta(days=days) if days else None, days)
    before = runs_under(build)
    runs = before if before and before >= left_on else None
    anew = left_on + timedelta(days=shop.renewed_days) if shop.renewed_days else None
    ends = max(filter(None, (runs, anew)), default=None)
    runs_on = ends is not None and ends == runs
    return Terms(ends, shop.renewed_days if ends and not runs_on else 0, runs_on)


def runs_under(build: Build) -> date | None:
    """The last day of the warranty under which a build is put right; None for other work."""
    if _counts_as(build) != Kind.WARRANTY:
        return None
    before = _before(build)
    return before.last_day if before else None


def longest(found: Return, day: date) -> Warranty | None:
    """Of what was promised of a thing to its owner, what runs longest of all that left by a day."""
    build = found.build
    owner = build.hilt.customer_id if build.hilt else build.item.order.customer_id
    promised = Warranty.objects.filter(_same_thing(build, found, owner), left_on__lte=day)
    return promised.exclude(build=found.became_id).order_by("-last_day").first()


def _counts_as(build: Build) -> str:
    """The kind by which a build is promised a warranty."""
    came = _came_from(build)
    if came is None:
        return build.kind
    if came.covered != Covered.NOT_COVERED:
        return Kind.WARRANTY
    return build.kind if build.kind in {Kind.FULL, Kind.UPGRADE} else Kind.REPAIR


def _came_from(build: Build) -> Return | None:
    return Return.objects.filter(became=build).select_related("build").first()


def _before(build: Build) -> Warranty | None:
    """The warranty under which a build is put right: the longest that its owner has of it."""
    owner = build.item.order.customer_id
    of_it = _same_thing(build, _came_from(build), owner)
    earlier = Warranty.objects.filter(of_it, build__number__lt=build.number)
    return earlier.order_by("-last_day").first()


def _same_thing(build: Build, came: Return | None, owner: int) -> Q:
    """Finished work for an owner on the hilt of a build, or on its blade; and what came back."""
    one = Q(build=came.build_id) if came else Q(pk__in=[])
    theirs = Q(build__state__in=FINISHED, build__item__order__customer=owner)
    if build.hilt_id:
        return one | theirs & Q(build__hilt=build.hilt_id)
    if build.blade_id:
        return one | theirs & Q(build__hilt=None, build__blade=build.blade_id)
    return one
