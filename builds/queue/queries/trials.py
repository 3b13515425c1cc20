"""What can be tried on the line, and the plain facts that its forms choose from."""

from dataclasses import dataclass
from datetime import date, time, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.queue.effects import Sight, promised_by, rushed, sights
from builds.queue.queries.compared import Compared, told
from builds.queue.queries.words import day_words, percent_words, range_words
from builds.queue.values import (
    NEW,
    Hours,
    Line,
    Worker,
    with_late_parts,
    with_new_order,
)
from shop.diary.learned import ENOUGH
from shop.house.queries import house
from shop.stores.models import PurchaseLine
from shop.web.dated import dated

COMMON = (time(9), time(17))  # where nobody has said hours
FAR = timedelta(days=120)


def awaited(line: Line) -> list[PurchaseLine]:
    """Lines of purchase orders that builds wait for, the first to come first."""
    rows = PurchaseLine.objects.filter(pk__in=list(line.lines))
    found = rows.select_related("part", "purchase__supplier")
    return list(found.order_by("purchase__expected_on", "pk"))


def line_words(line: Line, each: PurchaseLine) -> str:
    """What is awaited, when, and by how many builds."""
    builds = len({key for key, _wait in line.lines.get(each.pk, ())})
    day = each.purchase.expected_on
    return _("%(part)s, %(order)s, %(day)s: %(builds)s") % {
        "part": each.part.name,
        "order": each.purchase,
        "day": dated(day, "short") if day else _("no day yet"),
        "builds": ngettext("%d build waits", "%d builds wait", builds) % builds,
    }


def all_late(line: Line, late: PurchaseLine, days: int) -> Line:
    """The whole order of a line comes later: what else is on it comes in the same parcel."""
    along = PurchaseLine.objects.filter(purchase=late.purchase_id, pk__in=list(line.lines))
    for each in along.order_by("pk"):
        line = with_late_parts(line, each.pk, days)
    return line


def is_off(line: Line, worker: Worker, day: date) -> bool:
    """Whether somebody does not work on a day."""
    if day in worker.extra:
        return False
    away = day in worker.off or line.calendar.is_closed(day)
    return away or day.weekday() not in worker.week


def next_off(line: Line, worker: Worker) -> date:
    """The next day that somebody has off: for most, the coming Saturday."""
    today = line.calendar.today(line.now)
    ahead = (today + timedelta(days=n) for n in range(1, FAR.days))
    return next((day for day in ahead if is_off(line, worker, day)), today + timedelta(days=1))


def usual_hours(line: Line, worker: Worker | None) -> Hours:
    """The hours of somebody's first working day of the week."""
    week = dict(worker.week) if worker and worker.week else dict(line.calendar.hours)
    return week[min(week)] if week else COMMON


@dataclass(frozen=True)
class Offer:
    """When one more order of a kind would leave, at the end of the line or at its head."""

    is_young: bool
    builds: int
    day: str  # the first with at least the shop's least odds; empty: none in sight
    odds: str
    days: tuple[str, str, str]
    range: str  # where no more can be said
    costs: Compared | None = None


def offers(line: Line, kind: str) -> tuple[Offer, Offer]:
    """A new order of a kind where it belongs, and as a rush job with what that costs others."""
    longer = with_new_order(line, kind)
    last, first = sights(longer), sights(rushed(longer))
    costs = told(longer, last, first)
    return _offer(longer, kind, last, None), _offer(longer, kind, first, costs)


def _offer(line: Line, kind: str, seen: dict[int, Sight], costs: Compared | None) -> Offer:
    mine = seen[NEW]
    builds = line.finished.get(kind, 0)
    found = promised_by(line, mine, house().least_odds_percent / 100)
    return Offer(
        is_young=builds < ENOUGH,
        builds=builds,
        day=dated(found[0], "long") if found else "",
        odds=percent_words(found[1]) if found else "",
        days=(day_words(mine.by_50), day_words(mine.by_80), day_words(mine.by_95)),
        range=range_words(mine.early, mine.by_95),
        costs=costs,
    )
