"""The after-care of one build: its warranty, and what came back of it."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from builds.handover.models import Return, Warranty
from builds.handover.queries.returns import can_come_back, cause_of, is_to_come, returns_of
from builds.handover.queries.warranty import last_day, warranties
from builds.handover.words import HARMED
from builds.intake.queries import facts
from builds.progress.models import Build
from shop.clock import day_in
from shop.house.queries import house
from shop.web.dated import dated


@dataclass(frozen=True)
class AfterCare:
    """Warranty and returns of one build, in finished data."""

    warranty: Warranty | None
    is_over: bool
    to_come: str  # of a build that has not left: what it would be promised today
    returns: list[Return]
    cause: Return | None
    caution: str  # while a cell that its customer called harmed is not in the shop
    opens_with_care: bool  # it is here, and nobody has looked at that cell
    may_come_back: bool


def after_care(build: Build, now: datetime) -> AfterCare:
    """How the after-care of a build stands."""
    today = day_in(house().zone, now)
    promised = warranties([build.pk]).get(build.pk)
    cause = cause_of([build])
    harmed = cause if cause and cause.is_harmed and build.is_open else None
    is_far = harmed is not None and is_to_come(harmed)
    came_back = returns_of([build.pk]).get(build.pk, [])
    return AfterCare(
        warranty=promised,
        is_over=promised is not None and promised.last_day < today,
        to_come=_to_come(build, now) if build.is_open else "",
        returns=came_back,
        cause=cause,
        caution=str(HARMED) if is_far else "",
        opens_with_care=harmed is not None
        and not is_far
        and facts([build.pk])[build.pk].cell is None,
        may_come_back=can_come_back(build)
        and build.item.order.customer.erased_at is None
        and not any(each.is_open for each in came_back),
    )


def _to_come(build: Build, now: datetime) -> str:
    ends = last_day(build, day_in(house().zone, now), house())
    if ends is None:
        return _("none is promised for such a job")
    return _("begins as it leaves; today it would run until %s") % dated(ends, "full")
