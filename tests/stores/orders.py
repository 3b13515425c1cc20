"""Makes suppliers and purchase orders for tests."""

from datetime import date, datetime
from itertools import count
from uuid import UUID, uuid4

from shop.models import User
from shop.stores.actions import buying
from shop.stores.actions.buying import Wanted
from shop.stores.actions.deliveries import log_delivery
from shop.stores.actions.suppliers import add_supplier
from shop.stores.models import Delivery, Part, Purchase, PurchaseLine, Supplier

_numbers = count(1)
FRIDAY = date(2026, 12, 4)


def make_supplier(by: User, now: datetime, name: str = "", **facts: int) -> Supplier:
    """A supplier who takes 14 days, give or take 4."""
    name = name or f"Fenwick Electronics {next(_numbers)}"
    fields = {"name": name, "email": "sales@fenwick.example", **facts}
    return add_supplier(fields, token=uuid4(), by=by, now=now)


def make_draft(
    by: User, now: datetime, *wanted: tuple[Part, int], supplier: Supplier | None = None
) -> Purchase:
    """A draft of so many of each part, at 12.50 each."""
    lines = [Wanted(part, quantity, 1250) for part, quantity in wanted]
    whom = supplier or make_supplier(by, now)
    return buying.draft(whom, lines, token=uuid4(), by=by, now=now)


def make_ordered(
    by: User,
    now: datetime,
    *wanted: tuple[Part, int],
    supplier: Supplier | None = None,
    expected_on: date = FRIDAY,
) -> Purchase:
    """The same, ordered."""
    made = make_draft(by, now, *wanted, supplier=supplier)
    return buying.order(made.pk, expected_on=expected_on, supplier_ref="", by=by, now=now)


def line_of(purchase: Purchase, part: Part) -> PurchaseLine:
    """The line of a part."""
    return purchase.lines.get(part=part)


def deliver(
    purchase: Purchase,
    by: User,
    now: datetime,
    *came: tuple[Part, int],
    seen: int | None = None,
    token: UUID | None = None,
    surplus: frozenset[int] = frozenset(),
) -> Delivery:
    """A delivery of so many of each part."""
    return log_delivery(
        purchase.pk,
        {line_of(purchase, part).pk: quantity for part, quantity in came},
        surplus=surplus,
        seen=purchase.deliveries.count() if seen is None else seen,
        note="",
        token=token or uuid4(),
        by=by,
        now=now,
    )
