"""Writes money down that came or went: rows that only grow, each once for its token."""

from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.clock import day_in
from shop.history.actions import record
from shop.house.queries import house
from shop.orders.models import Item, Order, Paid, Payment
from shop.orders.queries.ledger import Standing, standing
from shop.orders.refusals import Refused, refuse_card_numbers
from shop.people.models import User
from shop.web.dated import dated
from shop.web.money import written

__all__ = ["Refused", "lock_order", "pay", "take_back"]


def lock_order(order: Order) -> Order:
    """The order's row, locked: deeds on its money wait here for each other."""
    return Order.objects.select_for_update(of=("self",)).select_related("customer").get(pk=order.pk)


@transaction.atomic
def pay(
    order: Order,
    kind: str,
    amount_minor: int,
    way: str,
    reference: str,
    paid_on: date,
    *,
    token: UUID,
    by: User,
    now: datetime,
    item: Item | None = None,
    because: str = "",
) -> Payment:
    """Write a deposit, a payment, a refund or what is given up into an order's ledger.

    :param item: the job that a refund or a write-off belongs to.
    :param because: why; a refund and a write-off must say it.
    :raises Refused: more goes back than came, more is given up than is open, a day to come, no
        reason where one is due, or the number of a card.
    """
    order = lock_order(order)
    before = Payment.objects.filter(token=token).first()
    if before:
        return before
    refuse_card_numbers(reference, because)
    _check_day(paid_on, now)
    _check_amount(kind, amount_minor, because, standing(order))
    row = Payment.objects.create(
        token=token,
        order=order,
        item=item,
        kind=kind,
        amount_minor=amount_minor,
        currency=house().currency,
        way=way,
        reference=reference,
        paid_on=paid_on,
        because=because,
        by=by,
        at=now,
    )
    # No sum in the history: the bench reads it too.
    record("payment_noted", f"order:{order.pk}", by, now, kind=kind)
    return row


@transaction.atomic
def take_back(payment: Payment, because: str, *, token: UUID, by: User, now: datetime) -> Payment:
    """Put a row right that was a mistake: a row of the same sum counts against it.

    :raises Refused: it was taken back already, takes back another itself, or no reason is given.
    """
    lock_order(payment.order)
    before = Payment.objects.filter(token=token).first()
    if before:
        return before
    refuse_card_numbers(because)
    _check_taking_back(payment, because)
    row = Payment.objects.create(
        token=token,
        order=payment.order,
        item=payment.item,
        kind=payment.kind,
        amount_minor=payment.amount_minor,
        currency=payment.currency,
        way=payment.way,
        reference=payment.reference,
        paid_on=day_in(house().zone, now),
        because=because,
        takes_back=payment,
        by=by,
        at=now,
    )
    record("payment_taken_back", f"order:{payment.order_id}", by, now, kind=payment.kind)
    return row


def _check_taking_back(payment: Payment, because: str) -> None:
    if payment.takes_back_id:
        raise Refused(_("This line takes another back. Write a new line instead."))
    other = Payment.objects.filter(takes_back=payment).select_related("by").first()
    if other:
        raise Refused(_("%s has taken this line back already.") % other.by.name)
    if not because.strip():
        raise Refused(_("Write down why; it stays beside the sum."))


def _check_day(day: date, now: datetime) -> None:
    if day > day_in(house().zone, now):
        raise Refused(_("%s is still to come.") % dated(day, "long"))


def _check_amount(kind: str, amount: int, because: str, stands: Standing) -> None:
    currency = house().currency
    if amount <= 0:
        raise Refused(_("Write a sum above nothing."))
    if kind in {Paid.REFUND, Paid.WRITTEN_OFF} and not because.strip():
        raise Refused(_("Write down why; it stays beside the sum."))
    if kind == Paid.REFUND and amount > stands.received:
        most = written(stands.received, currency)
        raise Refused(_("No more can go back than came in: %s.") % most)
    if kind == Paid.WRITTEN_OFF and amount > stands.due:
        raise Refused(
            _("No more can be given up than is open: %s.") % written(stands.due, currency)
        )
