"""How orders stand in money: derived from what was agreed, invoiced, paid and given back."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Case, Exists, F, OuterRef, Sum, When

from shop.house.states import Prices
from shop.orders.models import (
    Account,
    Invoice,
    Item,
    ItemKind,
    Order,
    Paid,
    Paper,
    Payment,
    Quote,
    QuoteLine,
    QuoteState,
)
from shop.orders.pricing import deal
from shop.stores.models import Part, PurchaseLine, StockRow
from shop.web.reading import each_once

# What a row adds to what the shop has received. What is written off never came.
SIGNS = {Paid.DEPOSIT: 1, Paid.PAYMENT: 1, Paid.REFUND: -1, Paid.WRITTEN_OFF: 0}


@dataclass(frozen=True)
class Standing:
    """How one order stands, in minor units.

    ``agreed``: the high figure of the newest accepted revision. ``invoiced``: invoices less credit
    notes. Either is None where there is none. ``received``: deposits and payments less refunds; a
    row that takes another back counts against it.
    """

    agreed: int | None = None
    deposit_asked: int = 0
    invoiced: int | None = None
    received: int = 0
    refunded: int = 0
    written_off: int = 0
    on_account: bool = False
    came_to_nothing: bool = False  # every job of it ended unfinished

    @property
    def charged(self) -> int | None:
        """What the customer is to pay in all: as invoiced, until then as agreed.

        What came to nothing is charged by its invoice alone, if one was issued.
        """
        if self.invoiced is None and self.came_to_nothing:
            return None
        return self.agreed if self.invoiced is None else self.invoiced

    @property
    def balance(self) -> int:
        """What is still open; below nothing where too much came."""
        return (self.charged or 0) - self.received - self.written_off

    @property
    def due(self) -> int:
        """What the customer owes."""
        return max(self.balance, 0)

    @property
    def too_much(self) -> int:
        """What came above what is to be paid; nothing while no figure says what that is."""
        return 0 if self.charged is None else max(-self.balance, 0)

    @property
    def deposit_due(self) -> int:
        """What is still missing of the deposit. On account none is asked."""
        asked = 0 if self.on_account else self.deposit_asked
        return max(min(asked, self.due + self.received) - self.received, 0)

    @property
    def is_settled(self) -> bool:
        """Whether nothing is open: paid, or written off."""
        return self.due == 0

    @property
    def is_of_money(self) -> bool:
        """Whether any sum was agreed, invoiced or paid."""
        return (
            self.charged is not None
            or self.agreed is not None
            or bool(self.received or self.refunded or self.written_off)
        )


def standing(order: Order) -> Standing:
    """How one order stands."""
    return standings([order.pk])[order.pk]


def standings(order_ids: Iterable[int]) -> dict[int, Standing]:
    """Order id → how it stands, in a constant number of queries."""
    ids = list(order_ids)
    agreed, invoiced, rows = _agreed(ids), _invoiced(ids), _rows(ids)
    said = _said(ids)
    return {
        pk: Standing(
            agreed=agreed.get(pk, (None, 0))[0],
            deposit_asked=agreed.get(pk, (None, 0))[1],
            invoiced=invoiced.get(pk),
            received=sum(rows.get((pk, kind), 0) * sign for kind, sign in SIGNS.items()),
            refunded=rows.get((pk, Paid.REFUND), 0),
            written_off=rows.get((pk, Paid.WRITTEN_OFF), 0),
            on_account=said.get(pk, (False, False))[0],
            came_to_nothing=said.get(pk, (False, False))[1],
        )
        for pk in ids
    }


def over_limit(order_ids: Iterable[int]) -> set[int]:
    """Those orders whose customer owes more on account than the account's limit."""
    ids = list(order_ids)
    accounts = Account.objects.filter(
        customer__orders__in=ids, closed_at=None, limit_minor__isnull=False
    )
    limits = dict(accounts.values_list("customer", "limit_minor"))
    if not limits:
        return set()
    whose = dict(Order.objects.filter(customer__in=limits).values_list("pk", "customer"))
    owed = dict.fromkeys(limits, 0)
    for pk, stands in standings(whose).items():
        owed[whose[pk]] += stands.balance
    over = {customer for customer, limit in limits.items() if owed[customer] > (limit or 0)}
    return {pk for pk in ids if whose.get(pk) in over}


def shares(money: Mapping[int, Standing]) -> dict[int, int]:
    """Item id → its part of what is charged for its order, by the lines that were agreed.

    What stands on no item, as postage does, is left to the last one that leaves: with it the
    parts add up to what is charged, to the coin.
    """
    lines = QuoteLine.objects.filter(quote__in=_newest_accepted(list(money)))
    weights: dict[int, dict[int | None, int]] = {}
    for line in lines.select_related("quote"):
        of_order = weights.setdefault(line.quote.order_id, {})
        of_order[line.item_id] = of_order.get(line.item_id, 0) + _weight(line)
    return {
        item: part
        for order, by_item in weights.items()
        if sum(by_item.values())
        for item, part in zip(
            by_item, deal(money[order].charged or 0, list(by_item.values())), strict=True
        )
        if item is not None
    }


def _weight(line: QuoteLine) -> int:
    """What a line weighs against the others: its price, with tax where that comes on top."""
    on_top = line.tax_hundredths if line.quote.prices == Prices.WITHOUT_TAX else 0
    return line.quantity_thousandths * line.each_minor * (10_000 + on_top)


def _newest_accepted(ids: list[int]) -> list[int]:
    """Ids of the quotes that hold: of each order the newest that was accepted."""
    return [pk for pk, _high, _deposit in _accepted(ids).values()]


def _agreed(ids: list[int]) -> dict[int, tuple[int, int]]:
    """Order id → high figure and deposit of the newest revision that was accepted."""
    found = _accepted(ids)
    return {order: (high, deposit) for order, (_pk, high, deposit) in found.items()}


def _accepted(ids: list[int]) -> dict[int, tuple[int, int, int]]:
    return each_once(_accepted, _newest, ids)


def _newest(ids: list[int]) -> dict[int, tuple[int, int, int]]:
    accepted = Quote.objects.filter(order__in=ids, state=QuoteState.ACCEPTED).order_by("revision")
    facts = accepted.values_list("order", "pk", "high_minor", "deposit_minor")
    return {order: (pk, high, deposit) for order, pk, high, deposit in facts}


def _invoiced(ids: list[int]) -> dict[int, int]:
    """Order id → invoices less credit notes. The figures of a credit note are below nothing."""
    papers = Invoice.objects.filter(order__in=ids).exclude(paper=Paper.RECEIPT).order_by()
    return dict(papers.values_list("order").annotate(Sum("gross_minor")))


def _said(ids: list[int]) -> dict[int, tuple[bool, bool]]:
    """Order id → whether it is on account, and whether it had jobs that all came to nothing."""
    accounts = Account.objects.filter(customer=OuterRef("customer"), closed_at=None)
    jobs = Item.objects.filter(order=OuterRef("pk"), kind=ItemKind.JOB)
    dropped = Exists(jobs) & ~Exists(jobs.filter(dropped_at=None))
    rows = Order.objects.filter(pk__in=ids).annotate(on=Exists(accounts), dropped=dropped)
    return {pk: (on, ended) for pk, on, ended in rows.values_list("pk", "on", "dropped")}


def _rows(ids: list[int]) -> dict[tuple[int, str], int]:
    """(order id, kind) → sum of its rows, less those that were taken back."""
    each = Case(When(takes_back=None, then=F("amount_minor")), default=-F("amount_minor"))
    rows = Payment.objects.filter(order__in=ids).order_by().values_list("order", "kind")
    return {(order, kind): amount for order, kind, amount in rows.annotate(sum=Sum(each))}


def ledger(order: Order) -> list[Payment]:
    """Every row of an order's ledger, the newest first."""
    rows = order.payments.select_related("by", "item", "takes_back", "taken_back_by")
    return list(rows.order_by("-at", "-pk"))


def has_money() -> bool:
    """Whether a sum was recorded in the shop's currency, which therefore stays as it is."""
    rows = (
        Payment.objects.all(),
        Invoice.objects.all(),
        Quote.objects.all(),
        Part.objects.exclude(cost_minor=None, price_minor=None),
        PurchaseLine.objects.exclude(cost_minor=None),
        StockRow.objects.exclude(cost_minor=None),
        Account.objects.exclude(hour_minor=None, limit_minor=None),
    )
    return any(each.exists() for each in rows)
