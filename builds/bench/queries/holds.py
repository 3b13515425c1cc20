"""Holds as pages show them: what they wait for, when it is expected, whether it came."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.progress.models import Build, Hold
from builds.progress.queries import freed_holds
from shop.stores.models import PurchaseState
from shop.stores.queries.buying import late_days
from shop.web.dated import dated


@dataclass(frozen=True)
class Shown:
    """A hold on the sheet. ``came_at``: the parts came then, so it stops nothing any more."""

    hold: Hold
    came_at: datetime | None
    awaits: str
    is_late: bool

    @property
    def is_over(self) -> bool:
        """Whether it stops the build no more."""
        return self.hold.over_at is not None or self.came_at is not None

    @property
    def wants_an_end(self) -> bool:
        """Whether the parts came and nobody has taken note."""
        return self.came_at is not None and self.hold.ended_at is None


def holds_of(build: Build, today: date) -> list[Shown]:
    """All holds of a build: those that want an end, those that stand, those that are over."""
    came = {held.pk: held.came_at for held in _freed([build.pk])}  # type: ignore[attr-defined]
    found = build.holds.select_related(
        "put_by", "ended_by", "line__part", "line__purchase", "quote"
    )
    shown = [
        Shown(held, came.get(held.pk), awaits(held, today), is_late(held, today))
        for held in found.order_by("-since")
    ]
    return sorted(shown, key=lambda one: (not one.wants_an_end, one.is_over))


def _freed(build_ids: Iterable[int]) -> list[Hold]:
    return [held for some in freed_holds(build_ids).values() for held in some]


def awaits(held: Hold, today: date) -> str:
    """The order that a hold waits for, and how it stands; empty where it waits for none."""
    if held.line is None:
        return ""
    purchase = held.line.purchase
    if held.line.dropped_at:
        return _("%s: given up, it will not come") % purchase
    if purchase.state == PurchaseState.DRAFT:
        return _("%s is not ordered yet") % purchase
    if purchase.expected_on is None:
        return str(purchase)
    day = {"number": purchase, "day": dated(purchase.expected_on, "short")}
    late = late_days(purchase, today)
    if not late:
        return _("%(number)s, expected %(day)s") % day
    by = ngettext("late by %d day", "late by %d days", late) % late
    return _("%(number)s, expected %(day)s, %(late)s") % {**day, "late": by}


def is_late(held: Hold, today: date) -> bool:
    """Whether what a hold waits for is late, or given up."""
    if held.line is None:
        return False
    return bool(held.line.dropped_at or late_days(held.line.purchase, today))
