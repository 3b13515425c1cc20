"""What the ledger tells of the past: how much of a part a week takes, how long suppliers take."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from statistics import fmean, stdev

from django.db.models import F, Min, Window
from django.db.models.functions import RowNumber

from shop.stores.models import Deed, Delivery, Part, StockRow, Supplier

WEEK = timedelta(days=7)
LOOK_BACK = 26  # weeks; common practice, no source
LEAST_WEEKS = 8  # fewer say nothing of a usual week; common practice, no source
LEAST_DELIVERIES = 3
LAST_DELIVERIES = 12  # older ones say little of a supplier today


@dataclass(frozen=True)
class Usage:
    """How much of a part a week takes, over so many whole weeks.

    ``mean`` and ``sd`` are None where the ledger is too young to say.
    """

    weeks: int
    mean: float | None = None
    sd: float | None = None


@dataclass(frozen=True)
class Lead:
    """Days from an order until it comes, and their spread.

    ``learned_from``: how many deliveries they were learned from; 0 where they are the shop's own
    figures.
    """

    days: float
    spread_days: float
    learned_from: int = 0


def usage(parts: Iterable[Part], now: datetime) -> dict[int, Usage]:
    """Part id → its use in a week, from what was fitted and what came out again, in two queries."""
    ids = [part.pk for part in parts]
    rows = StockRow.objects.filter(part__in=ids)
    first = dict(rows.order_by().values_list("part").annotate(Min("at")))
    used: dict[int, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    recent = rows.filter(deed__in=[Deed.FITTED, Deed.RETURNED], at__gt=now - LOOK_BACK * WEEK)
    for part_id, at, change in recent.order_by().values_list("part", "at", "on_hand_change"):
        used[part_id][(now - at) // WEEK] -= change
    return {part_id: _usage(first.get(part_id), used[part_id], now) for part_id in ids}


def _usage(first: datetime | None, used: dict[int, int], now: datetime) -> Usage:
    """The weeks are counted back from now; the one in which the ledger began is not whole."""
    weeks = min(LOOK_BACK, (now - first) // WEEK) if first else 0
    if weeks < LEAST_WEEKS:
        return Usage(weeks)
    counts = [max(0, used.get(week, 0)) for week in range(weeks)]
    return Usage(weeks, fmean(counts), stdev(counts))


def leads(suppliers: Iterable[Supplier]) -> dict[int, Lead]:
    """Supplier id → how long they take: learned where enough has come, else as written down."""
    found = list(suppliers)
    took: dict[int, list[float]] = defaultdict(list)
    rows = Delivery.objects.filter(
        purchase__supplier__in=found, purchase__ordered_at__isnull=False, taken_back_at=None
    )
    newest_first = [F("came_at").desc(), F("pk").desc()]
    nth = Window(RowNumber(), partition_by=F("purchase__supplier"), order_by=newest_first)
    newest = rows.annotate(nth=nth).filter(nth__lte=LAST_DELIVERIES).order_by("nth")
    for supplier_id, ordered, at in newest.values_list(
        "purchase__supplier", "purchase__ordered_at", "came_at"
    ):
        if ordered:
            took[supplier_id].append((at - ordered) / timedelta(days=1))
    return {one.pk: _lead(one, took[one.pk]) for one in found}


def _lead(supplier: Supplier, took: list[float]) -> Lead:
    if len(took) < LEAST_DELIVERIES:
        return Lead(supplier.lead_days, supplier.lead_spread_days)
    return Lead(fmean(took), stdev(took), len(took))
