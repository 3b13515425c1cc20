"""Places orders and keeps binding answers in their exact words."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction

from shop.clock import day_in, within
from shop.history.actions import record
from shop.house.actions import next_number
from shop.house.queries import house
from shop.orders.models import Answer, Item, ItemKind, Order
from shop.orders.refusals import refuse_card_numbers
from shop.people.models import Customer, User
from shop.stores.models import Part

SECOND_TAP = timedelta(minutes=1)


@transaction.atomic
def place_order(
    customer: Customer,
    *,
    token: UUID,
    by: User,
    now: datetime,
    needed_by: date | None = None,
    price_note: str = "",
    note: str = "",
    reference: str = "",
) -> Order:
    """Place an order under the year's next number. The same token twice is one order.

    The customer's row is locked, so that a double tap waits here and finds the order placed.

    :param reference: the customer's own number for it; it stands on invoices.
    :raises Refused: the number of a card stands in the reference.
    """
    refuse_card_numbers(reference)
    customer = Customer.objects.select_for_update().get(pk=customer.pk)
    placed = Order.objects.filter(token=token).first()
    if placed:
        return placed
    year = day_in(house().zone, now).year
    number = f"{year}-{next_number(f'orders-{year}'):03d}"
    order = Order.objects.create(
        number=number,
        customer=customer,
        placed_at=now,
        needed_by=needed_by,
        price_note=price_note,
        note=note,
        reference=reference,
        token=token,
    )
    record("order_placed", f"order:{order.pk}", by, now, number=number)
    return order


@transaction.atomic
def change_order(order: Order, fields: dict[str, Any], by: User, now: datetime) -> None:
    """Change needed-by, the reference, the price note or the note; answers keep their words.

    :raises Refused: the number of a card stands in the reference.
    """
    refuse_card_numbers(fields.get("reference", ""))
    changed = {name: value for name, value in fields.items() if getattr(order, name) != value}
    if not changed:
        return
    for name, value in changed.items():
        setattr(order, name, value)
    order.save(update_fields=list(changed))
    record("order_changed", f"order:{order.pk}", by, now, fields=sorted(changed))


@transaction.atomic
def add_item(
    order: Order,
    kind: ItemKind,
    wanted: str,
    by: User,
    now: datetime,
    quantity: int = 1,
    part: Part | None = None,
) -> Item:
    """Put a job or goods on an order; goods may stand in stores as a part."""
    item = Item.objects.create(order=order, kind=kind, wanted=wanted, quantity=quantity, part=part)
    record("item_added", f"order:{order.pk}", by, now, kind=kind, item=item.pk)
    return item


@transaction.atomic
def tie_goods(item: Item, part: Part | None, by: User, now: datetime) -> Item:
    """Say as which part goods stand in stores, or that they do not. The same again is nothing."""
    item = Item.objects.select_for_update(of=("self",)).get(pk=item.pk)
    if item.part_id != (part.pk if part else None):
        item.part = part
        item.save(update_fields=["part"])
        record("goods_tied", f"order:{item.order_id}", by, now, item=item.pk)
    return item


@transaction.atomic
def drop_item(item: Item, now: datetime) -> None:
    """A job came to nothing: where all of an order's did, what was agreed is owed no more."""
    Order.objects.select_for_update(of=("self",)).get(pk=item.order_id)
    Item.objects.filter(pk=item.pk, dropped_at=None).update(dropped_at=now)


@transaction.atomic
def take_up_item(item: Item) -> None:
    """It goes on after all; the move that says so stands in the history."""
    Item.objects.filter(pk=item.pk).update(dropped_at=None)


@transaction.atomic
def record_answer(
    item: Item,
    *,
    kind: str,
    is_yes: bool,
    text: str,
    how: str,
    by: User | None,
    now: datetime,
    by_customer: bool = True,
) -> Answer:
    """Keep an answer that binds, with its exact text, who gave it, how and when.

    The same answer again within a minute is a second tap: it is kept once.
    """
    # Taps at the same moment wait here for each other.
    item = Item.objects.select_for_update(of=("self",)).get(pk=item.pk)
    newest = Answer.objects.filter(item=item, kind=kind).order_by("at", "pk").last()
    is_again = newest and (newest.is_yes, newest.text, newest.how) == (is_yes, text, how)
    if newest and is_again and within(newest.at, SECOND_TAP, now):
        return newest
    answer = Answer.objects.create(
        item=item,
        kind=kind,
        is_yes=is_yes,
        text=text,
        how=how,
        by_customer=by_customer,
        recorded_by=by,
        at=now,
    )
    # Whatever way it came: what was asked is answered.
    item.askings.filter(kind=kind, ended_at=None).update(ended_at=now)
    facts: dict[str, Any] = {"kind": kind, "yes": is_yes, "how": how, "item": item.pk}
    record("answer_recorded", f"order:{item.order_id}", by, now, **facts)
    return answer
