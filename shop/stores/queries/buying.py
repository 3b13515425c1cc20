"""Reads suppliers and purchase orders: what came of each line, what is late, what is on its way."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Count, F, Q, QuerySet, Sum

from shop.diary.queries import calendar
from shop.house.queries import house
from shop.stores.models import (
    Delivery,
    DeliveryLine,
    Part,
    Purchase,
    PurchaseLine,
    PurchaseState,
    Supplier,
)
from shop.stores.queries.levels import amount, named
from shop.web.money import times

OPEN = (PurchaseState.DRAFT, PurchaseState.ORDERED)
SHOWN = 3  # lines in a row of a list
A_METRE = 1000  # what is counted in millimetres is paid by the metre


@dataclass(frozen=True)
class Came:
    """What came of a line of a purchase order."""

    line: PurchaseLine
    came: int
    all_came_at: datetime | None = None

    @property
    def missing(self) -> int:
        """How many are still to come; none where the rest was given up or more came."""
        return 0 if self.line.dropped_at else max(0, self.line.quantity - self.came)

    @property
    def is_come(self) -> bool:
        """Whether all of it came."""
        return self.came >= self.line.quantity

    @property
    def is_given_up(self) -> bool:
        """Whether it will not come, or not all of it."""
        return self.line.dropped_at is not None and not self.is_come

    @property
    def ordered_words(self) -> str:
        """How many were ordered."""
        return amount(self.line.part, self.line.quantity)

    @property
    def came_words(self) -> str:
        """How many came."""
        return amount(self.line.part, self.came)

    @property
    def missing_words(self) -> str:
        """How many are still to come."""
        return amount(self.line.part, self.missing)

    @property
    def pack_words(self) -> str:
        """What the part comes in packs of."""
        return amount(self.line.part, self.line.part.pack)

    @property
    def cost_minor(self) -> int | None:
        """What the line costs; the owner's alone."""
        line = self.line
        if line.cost_minor is None:
            return None
        return times(line.cost_minor, line.quantity, per_of(line.part))

    def late_days(self, today: date) -> int:
        """By how many days it is late; 0 where it is not, or is not awaited."""
        return late_days(self.line.purchase, today) if self.missing else 0


@dataclass(frozen=True)
class Stand:
    """A purchase order with what came of it."""

    purchase: Purchase
    lines: Sequence[Came]
    today: date

    @property
    def missing(self) -> list[Came]:
        """Lines of which some are still to come."""
        return [line for line in self.lines if line.missing]

    @property
    def in_a_row(self) -> list[str]:
        """What a row of it says: what is still to come, else what was on it; the first few."""
        if self.missing:
            said = [named(one.line.part, one.missing) for one in self.missing]
        else:
            said = [named(one.line.part, one.line.quantity) for one in self.lines]
        return said if len(said) <= SHOWN else [*said[:SHOWN], "…"]

    @property
    def has_come(self) -> bool:
        """Whether any of it came."""
        return any(line.came for line in self.lines)

    @property
    def is_part(self) -> bool:
        """Whether some of it came, and some did not."""
        return bool(self.missing) and self.has_come

    @property
    def late_days(self) -> int:
        """By how many days it is late; 0 where it is not."""
        return late_days(self.purchase, self.today) if self.missing else 0

    @property
    def cost_minor(self) -> int | None:
        """What all of it costs, where every line has a cost; the owner's alone."""
        costs = [line.cost_minor for line in self.lines if not line.is_given_up]
        known = [cost for cost in costs if cost is not None]
        return sum(known) if known and len(known) == len(costs) else None


def per_of(part: Part) -> int:
    """For how many of a part its cost stands: one, or a metre of what is counted in mm."""
    return A_METRE if part.counted == "mm" else 1


def late_days(purchase: Purchase, today: date) -> int:
    """By how many days an order is past the day it was expected."""
    if purchase.state != PurchaseState.ORDERED or purchase.expected_on is None:
        return 0
    return max(0, (today - purchase.expected_on).days)


def suppliers() -> QuerySet[Supplier]:
    """Suppliers in use."""
    return Supplier.objects.filter(retired=False)


def expected_day(supplier: Supplier, now: datetime) -> date:
    """The working day on which what is ordered now is expected."""
    diary = calendar(house())
    return diary.working_day(diary.today(now) + timedelta(days=supplier.lead_days))


def came_of(line_ids: Iterable[int]) -> dict[int, Came]:
    """Line id → what came of it, in two queries for all."""
    lines = PurchaseLine.objects.filter(pk__in=list(line_ids))
    found = list(lines.select_related("part", "purchase__supplier"))
    return {came.line.pk: came for came in _came(found)}


def _came(lines: Sequence[PurchaseLine]) -> list[Came]:
    sums: dict[int, int] = {}
    when: dict[int, datetime] = {}
    wanted = {line.pk: line.quantity for line in lines}
    found = DeliveryLine.objects.filter(line__in=list(wanted), delivery__taken_back_at=None)
    rows = found.order_by("delivery__came_at", "pk")
    for line_id, quantity, at in rows.values_list("line", "quantity", "delivery__came_at"):
        before = sums.get(line_id, 0)
        sums[line_id] = before + quantity
        if before < wanted[line_id] <= sums[line_id]:
            when[line_id] = at
    return [Came(line, sums.get(line.pk, 0), when.get(line.pk)) for line in lines]


def stands(purchases: Iterable[Purchase], today: date) -> list[Stand]:
    """Purchase orders with what came of them, in two queries for all."""
    found = list(purchases)
    by_id = {purchase.pk: purchase for purchase in found}
    lines = list(PurchaseLine.objects.filter(purchase__in=found).select_related("part"))
    for line in lines:
        line.purchase = by_id[line.purchase_id]
    came = _came(lines)
    return [
        Stand(one, [each for each in came if each.line.purchase_id == one.pk], today)
        for one in found
    ]


def open_purchases() -> QuerySet[Purchase]:
    """Drafts and orders on their way, what is expected first first."""
    found = Purchase.objects.filter(state__in=OPEN).select_related("supplier", "made_by")
    return found.order_by("-state", "expected_on", "pk")  # ordered before draft


def settled_purchases() -> QuerySet[Purchase]:
    """Orders that are closed or cancelled, the newest first."""
    return Purchase.objects.exclude(state__in=OPEN).select_related("supplier", "made_by")


def purchases_of(supplier: Supplier) -> QuerySet[Purchase]:
    """The newest orders with a supplier."""
    return supplier.purchases.select_related("supplier")[:20]


def purchase_counts() -> dict[str, int]:
    """How many orders are open, and how many settled."""
    return Purchase.objects.aggregate(
        open=Count("pk", filter=Q(state__in=OPEN)), settled=Count("pk", filter=~Q(state__in=OPEN))
    )


def suppliers_listed() -> list[Supplier]:
    """Every supplier, those in use first."""
    return list(Supplier.objects.order_by("retired", "name"))


def late_purchases(today: date) -> list[Stand]:
    """Orders past their day of which something is missing, the latest first."""
    past = Purchase.objects.filter(state=PurchaseState.ORDERED, expected_on__lt=today)
    found = stands(past.select_related("supplier").order_by("expected_on", "pk"), today)
    return [stand for stand in found if stand.missing]


def missing_words(stand: Stand) -> str:
    """What of an order has not come, in words."""
    return ", ".join(named(one.line.part, one.missing) for one in stand.missing)


def deliveries_of(purchase: Purchase) -> list[tuple[Delivery, str]]:
    """What came of an order, the newest first, each with its parts in words."""
    found = purchase.deliveries.select_related("by").prefetch_related("lines__line__part")
    return [
        (each, ", ".join(named(one.line.part, one.quantity) for one in each.lines.all()))
        for each in found
    ]


def lines_come() -> QuerySet[PurchaseLine]:
    """Lines of which all has come; for use inside another query."""
    stands = Q(came__delivery__taken_back_at=None)
    summed = PurchaseLine.objects.annotate(came_sum=Sum("came__quantity", filter=stands)).order_by()
    return summed.filter(came_sum__gte=F("quantity"))


def not_come(lines: Iterable[PurchaseLine]) -> list[PurchaseLine]:
    """Those of these lines of which some has not come."""
    asked = list(lines)
    come = set(lines_come().filter(pk__in=[line.pk for line in asked]).values_list("pk", flat=True))
    return [line for line in asked if line.pk not in come]


def lines_awaited() -> list[Came]:
    """Lines of open orders of which something is missing, what is expected first first."""
    lines = PurchaseLine.objects.filter(purchase__state__in=OPEN, dropped_at=None)
    in_order = lines.select_related("part", "purchase__supplier").order_by(
        F("purchase__expected_on").asc(nulls_last=True), "purchase__number", "pk"
    )
    return [came for came in _came(list(in_order)) if came.missing]


def on_its_way() -> dict[int, tuple[int, int]]:
    """Part id → how many are ordered and have not come, and how many stand in a draft."""
    found: dict[int, tuple[int, int]] = {}
    for one in lines_awaited():
        ordered, drafted = found.get(one.line.part_id, (0, 0))
        if one.line.purchase.state == PurchaseState.DRAFT:
            drafted += one.missing
        else:
            ordered += one.missing
        found[one.line.part_id] = ordered, drafted
    return found


def wanted_words(part_id: object, quantity: object) -> str:
    """The part that a page asked to order, and how many, in words; nothing where it is none."""
    if not (str(part_id).isdecimal() and str(quantity).isdecimal()):
        return ""
    part = parts_to_buy().filter(pk=str(part_id)[:12]).first()
    return named(part, int(str(quantity)[:9])) if part else ""


def parts_to_buy(words: str = "") -> QuerySet[Part]:
    """Parts that can be put on an order, by their kind and name."""
    found = Part.objects.filter(retired=False)
    return found.filter(Q(name_folded__contains=words.casefold())) if words else found
