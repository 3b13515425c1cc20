"""Purchase orders: drafted, changed, ordered, given up. What comes is in deliveries."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.history.queries import made_once
from shop.house.actions import next_number
from shop.house.models import House
from shop.house.queries import house
from shop.people.models import User
from shop.stores.actions.stock import MOST
from shop.stores.models import Part, Purchase, PurchaseLine, PurchaseState, Supplier
from shop.stores.queries.buying import Came, came_of, expected_day
from shop.stores.queries.levels import amount
from shop.stores.refusals import Refused


@dataclass(frozen=True)
class Wanted:
    """So much of a part to be bought; what each costs, where that is known."""

    part: Part
    quantity: int
    cost_minor: int | None = None


@transaction.atomic
def draft(
    supplier: Supplier, wanted: Iterable[Wanted], *, token: UUID, by: User, now: datetime
) -> Purchase:
    """Draft a purchase order under the next number of the year. The same token twice is one.

    What a draft with this supplier holds already is added to: one parcel is cheaper than two.
    """
    shop = House.objects.select_for_update().filter(id=1).first() or house()
    made = made_once(token)
    if made:
        return Purchase.objects.get(pk=made.partition(":")[2])
    if supplier.retired:
        raise Refused(_("Nothing is bought from %s any more.") % supplier)
    purchase = _draft_with(supplier) or _begin(supplier, shop, token, by, now)
    for one in wanted:
        _add(purchase, one)
    record("once", f"once:{token}", by, now, made=purchase.about)
    return purchase


def _draft_with(supplier: Supplier) -> Purchase | None:
    drafts = Purchase.objects.select_for_update().filter(state=PurchaseState.DRAFT)
    return drafts.filter(supplier=supplier).first()


def _begin(supplier: Supplier, shop: House, token: UUID, by: User, now: datetime) -> Purchase:
    year = now.astimezone(shop.zone).year
    number = f"PO-{year}-{next_number(f'purchases-{year}'):03d}"
    purchase = Purchase.objects.create(
        number=number, token=token, supplier=supplier, made_at=now, made_by=by
    )
    record("purchase_drafted", purchase.about, by, now)
    return purchase


def _add(purchase: Purchase, wanted: Wanted) -> None:
    line = purchase.lines.filter(part=wanted.part).first()
    there = line.quantity if line else 0
    _put(purchase, wanted.part, there + wanted.quantity, wanted.cost_minor)


def whole_packs(part: Part, quantity: int) -> int:
    """A quantity rounded up to the packs that a part comes in."""
    return -(-quantity // part.pack) * part.pack


@transaction.atomic
def put_line(
    purchase_id: int, part: Part, quantity: int, cost_minor: int | None, *, by: User, now: datetime
) -> PurchaseLine:
    """Set how many of a part a draft asks for, and what each costs. Put twice is put once.

    :raises Refused: it is ordered already, or the part is bought no more.
    """
    purchase = locked(purchase_id)
    _check_draft(purchase)
    line = _put(purchase, part, quantity, cost_minor)
    many = amount(part, line.quantity)
    record("purchase_line_put", purchase.about, by, now, part=part.name, amount=many)
    return line


def _put(purchase: Purchase, part: Part, quantity: int, cost_minor: int | None) -> PurchaseLine:
    if part.retired:
        raise Refused(_("%s is not used any more.") % part)
    cost = part.cost_minor if cost_minor is None else cost_minor
    facts = {"quantity": _in_packs(part, quantity), "cost_minor": cost}
    line, _is_new = purchase.lines.update_or_create(part=part, defaults=facts)
    return line


@transaction.atomic
def save_lines(
    purchase_id: int,
    facts: Iterable[tuple[Came, int | None, int | None]],
    *,
    by: User,
    now: datetime,
) -> Purchase:
    """Save how many of each line of a draft, and what each costs; of an order the costs alone.

    What has come keeps the cost it came at; a line that was taken off meanwhile stays off.
    """
    purchase = locked(purchase_id)
    _check_open(purchase)
    there = {line.pk: line for line in purchase.lines.select_related("part")}
    changed = [
        line.part.name
        for one, many, cost in facts
        if (line := there.get(one.line.pk)) and _save_line(purchase, line, many, cost)
    ]
    if changed:
        parts = ", ".join(changed)
        record("purchase_lines_saved", purchase.about, by, now, parts=parts)
    return purchase


def _save_line(
    purchase: Purchase, line: PurchaseLine, quantity: int | None, cost: int | None
) -> bool:
    kept = line.quantity
    if quantity is not None:
        _check_draft(purchase)
        kept = _in_packs(line.part, quantity)
    if (line.quantity, line.cost_minor) == (kept, cost):
        return False
    line.quantity, line.cost_minor = kept, cost
    line.save(update_fields=["quantity", "cost_minor"])
    return True


@transaction.atomic
def drop_line(purchase_id: int, line_id: int, *, by: User, now: datetime) -> Purchase:
    """Give a line up: out of a draft, or what of an order has not come. Twice is once.

    :raises Refused: all of it has come, or a hold waits for it.
    """
    purchase = locked(purchase_id)
    line = purchase.lines.filter(pk=line_id, dropped_at=None).select_related("part").first()
    if line is None:
        return purchase
    _check_open(purchase)
    if purchase.state == PurchaseState.DRAFT:
        _take_out(line)
    elif came_of([line.pk])[line.pk].missing == 0:
        raise Refused(_("All of it has come already."))
    else:
        line.dropped_at = now
        line.save(update_fields=["dropped_at"])
    record("purchase_line_dropped", purchase.about, by, now, part=line.part.name)
    close_if_done(purchase, by, now)
    return purchase


def _take_out(line: PurchaseLine) -> None:
    if line.holds.filter(ended_at=None).exists():
        raise Refused(_("A build is on hold for it. Choose another order there first."))
    line.holds.update(line=None)
    line.delete()


@transaction.atomic
def order(
    purchase_id: int,
    *,
    expected_on: date | None,
    supplier_ref: str,
    by: User,
    now: datetime,
) -> Purchase:
    """Write down that a draft was ordered. Ordered twice is ordered once.

    :param expected_on: left open, it follows from the supplier's usual days.
    :raises Refused: there is nothing on it, or it was cancelled.
    """
    purchase = locked(purchase_id)
    if purchase.state == PurchaseState.ORDERED:
        return purchase
    _check_draft(purchase)
    if not purchase.lines.exists():
        raise Refused(_("There is nothing on it yet. Put a part on it first."))
    purchase.state, purchase.ordered_at = PurchaseState.ORDERED, now
    purchase.expected_on = expected_on or expected_day(purchase.supplier, now)
    purchase.supplier_ref = supplier_ref.strip()
    purchase.save()
    day = purchase.expected_on.isoformat()
    record("purchase_ordered", purchase.about, by, now, day=day)
    return purchase


@transaction.atomic
def change_purchase(
    purchase_id: int, fields: dict[str, object], *, by: User, now: datetime
) -> Purchase:
    """Change the day it is expected, the supplier's number for it, the note."""
    purchase = locked(purchase_id)
    _check_open(purchase)
    changed = {name: value for name, value in fields.items() if getattr(purchase, name) != value}
    for name, value in changed.items():
        setattr(purchase, name, value)
    if changed:
        purchase.save(update_fields=list(changed))
        expected = changed.get("expected_on")
        day = expected.isoformat() if isinstance(expected, date) else ""
        record("purchase_changed", purchase.about, by, now, day=day)
    return purchase


@transaction.atomic
def cancel(purchase_id: int, *, by: User, now: datetime) -> Purchase:
    """Cancel an order of which nothing has come. Cancelled twice is cancelled once."""
    purchase = locked(purchase_id)
    if purchase.state == PurchaseState.CANCELLED:
        return purchase
    _check_open(purchase)
    if purchase.deliveries.filter(taken_back_at=None).exists():
        raise Refused(_("Some of it has come. Close it instead."))
    return _end(purchase, PurchaseState.CANCELLED, by, now)


@transaction.atomic
def close(purchase_id: int, *, by: User, now: datetime) -> Purchase:
    """Close an order: what has not come by now will not come. Closed twice is closed once."""
    purchase = locked(purchase_id)
    if purchase.state == PurchaseState.CLOSED:
        return purchase
    if purchase.state != PurchaseState.ORDERED:
        raise Refused(_("It was never ordered. Cancel it instead."))
    return _end(purchase, PurchaseState.CLOSED, by, now)


def close_if_done(purchase: Purchase, by: User, now: datetime) -> None:
    """Close an order of which nothing is missing any more. Part of a deed."""
    if purchase.state != PurchaseState.ORDERED:
        return
    lines = list(purchase.lines.filter(dropped_at=None))
    came = came_of([line.pk for line in lines])
    if all(came[line.pk].missing == 0 for line in lines):
        _end(purchase, PurchaseState.CLOSED, by, now)


def reopen_if_missing(purchase: Purchase) -> None:
    """Await again what is missing of an order that was closed. Part of a deed."""
    lines = list(purchase.lines.filter(dropped_at=None))
    came = came_of([line.pk for line in lines])
    if purchase.state == PurchaseState.CLOSED and any(came[line.pk].missing for line in lines):
        purchase.state = PurchaseState.ORDERED
        purchase.save(update_fields=["state"])


def _end(purchase: Purchase, state: PurchaseState, by: User, now: datetime) -> Purchase:
    lines: Sequence[PurchaseLine] = list(purchase.lines.filter(dropped_at=None))
    came = came_of([line.pk for line in lines])
    given_up = [line.pk for line in lines if came[line.pk].missing]
    PurchaseLine.objects.filter(pk__in=given_up).update(dropped_at=now)
    purchase.state = state
    purchase.save(update_fields=["state"])
    verb = "purchase_closed" if state == PurchaseState.CLOSED else "purchase_cancelled"
    record(verb, purchase.about, by, now)
    return purchase


def locked(purchase_id: int) -> Purchase:
    """The purchase order, its row locked until the transaction ends."""
    rows = Purchase.objects.select_for_update(of=("self",)).select_related("supplier")
    return rows.get(pk=purchase_id)


def _in_packs(part: Part, quantity: int) -> int:
    if quantity < 1 or whole_packs(part, quantity) > MOST:
        raise Refused(_("Type a number from 1 to 10 million."))
    return whole_packs(part, quantity)


def _check_draft(purchase: Purchase) -> None:
    if purchase.state != PurchaseState.DRAFT:
        raise Refused(
            _("%s is not a draft any more. What is missing goes on a new order.") % purchase
        )


def _check_open(purchase: Purchase) -> None:
    if purchase.state in {PurchaseState.CLOSED, PurchaseState.CANCELLED}:
        raise Refused(
            _("%(number)s is %(state)s; nothing was changed.")
            % {"number": purchase, "state": purchase.get_state_display()}
        )
