"""How long a build is under warranty, and what was promised as it left."""

from collections.abc import Iterable
from datetime import date, timedelta

from builds.handover.models import Return, Warranty
from builds.progress.models import Build
from builds.progress.states import FINISHED, Kind
from shop.house.models import House
from shop.web.reading import each_once


def warranties(build_ids: Iterable[int]) -> dict[int, Warranty]:
    """Build id → what was promised as it left."""
    return each_once(warranties, _warranties, build_ids)


def _warranties(build_ids: list[int]) -> dict[int, Warranty]:
    return {each.build_id: each for each in Warranty.objects.filter(build__in=build_ids)}


def last_day(build: Build, left_on: date, shop: House) -> date | None:
    """The last day of the warranty of a build that leaves; None where there is none.

    A repair under warranty leaves the first warranty as it runs, unless the shop promises so many
    days after it at least.
    """
    if build.kind != Kind.WARRANTY:
        days = shop.repair_days if build.kind == Kind.REPAIR else shop.warranty_days
        return left_on + timedelta(days=days) if days else None
    before = _before(build)
    runs = before.last_day if before and before.last_day >= left_on else None
    anew = left_on + timedelta(days=shop.renewed_days) if shop.renewed_days else None
    return max(filter(None, (runs, anew)), default=None)


def _before(build: Build) -> Warranty | None:
    """The warranty under which a build is put right: of what came back, else the newest."""
    came = Return.objects.filter(became=build).select_related("build__warranty").first()
    if came:
        return getattr(came.build, "warranty", None)
    if build.hilt_id is None:
        return None
    earlier = Warranty.objects.filter(
        build__hilt=build.hilt_id, build__state__in=FINISHED, build__number__lt=build.number
    )
    return earlier.order_by("-last_day").first()
