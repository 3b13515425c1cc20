"""Deeds of the desk, each made of deeds of the rooms below and done whole or not at all."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.queries import is_packed, shares_a_parcel
from builds.hilts.actions import add_hilt
from builds.hilts.actions.blades import write_blade
from builds.hilts.models import Blade, Hilt
from builds.progress.actions import book, tie_blade
from builds.progress.linking import order_link
from builds.progress.models import Build
from builds.progress.states import Kind
from builds.queue.actions import promise_with
from builds.queue.queries import odds_of_new
from shop.diary.queries import calendar
from shop.history.actions import record
from shop.history.queries import made_once
from shop.house.models import House
from shop.house.queries import house
from shop.orders.actions import add_item, change_order, place_order, record_answer, tie_goods
from shop.orders.enquiries import mark_ordered
from shop.orders.models import Answer, AnswerKind, Enquiry, Item, ItemKind, Order
from shop.orders.queries import newest_answers
from shop.people.actions import add_customer
from shop.people.models import Customer, User
from shop.stores.models import Part


class Refused(ValueError):
    """A deed on an order that cannot be, said in one sentence."""


@dataclass(frozen=True)
class Job:
    """A job as the form took it down: on a known hilt, on a new one, or on none; its blade."""

    kind: str
    leaves_by: str
    wanted: str
    hilt: Hilt | None = None
    hilt_name: str = ""
    promise_day: date | None = None
    odds: float | None = None  # of that day
    agreed_how: str = ""
    blade: Blade | None = None
    blade_name: str = ""


def with_odds(job: Job, now: datetime) -> Job:
    """The job with the odds of its day; to be asked before the deed, so that nobody waits for it.

    A job that is not booked yet has its place at the end of the line.
    """
    if not job.promise_day:
        return job
    return replace(job, odds=odds_of_new(job.kind, job.promise_day, calendar(house()), now))


@transaction.atomic
def book_job(
    job: Job,
    *,
    customer: Customer | dict[str, Any],
    token: UUID,
    by: User,
    now: datetime,
    needed_by: date | None = None,
    price_note: str = "",
    reference: str = "",
    enquiry: Enquiry | None = None,
) -> Order:
    """Place an order for one job. The same token twice is one order.

    :param customer: one we know, or the facts of a new one.
    :param enquiry: what it came of; with the order it is settled.
    :raises builds.queue.actions.Refused: nothing leaves on the day to be promised.
    :raises shop.orders.enquiries.Refused: another order came of the enquiry.
    """
    _one_at_a_time()
    placed = Order.objects.filter(token=token).first()
    if placed:
        return placed
    known = customer if isinstance(customer, Customer) else add_customer(customer, by, now)
    order = place_order(
        known, token=token, by=by, now=now, needed_by=needed_by, price_note=price_note,
        reference=reference,
    )  # fmt: skip
    _book(order, job, by, now)
    if enquiry:
        mark_ordered(enquiry.pk, order, by, now)
    order_link(order, now)
    return order


@transaction.atomic
def add_job(order: Order, job: Job, *, token: UUID, by: User, now: datetime) -> None:
    """Put another job on an order, once for one token."""
    _one_at_a_time()
    if not made_once(token):
        build = _book(order, job, by, now)
        record("once", f"once:{token}", by, now, made=build.about)


@transaction.atomic
def add_goods(
    order: Order,
    wanted: str,
    quantity: int,
    *,
    token: UUID,
    by: User,
    now: datetime,
    part: Part | None = None,
) -> None:
    """Put goods on an order, once for one token."""
    _one_at_a_time()
    if not made_once(token):
        item = add_item(order, ItemKind.GOODS, wanted, by, now, quantity, part)
        record("once", f"once:{token}", by, now, made=f"item:{item.pk}")


@transaction.atomic
def say_part(item: Item, part: Part | None, *, by: User, now: datetime) -> Item:
    """Say as which part goods stand in stores.

    :raises Refused: they lie in a parcel, which holds so much of the part they were.
    """
    item = Item.objects.select_for_update(of=("self",)).get(pk=item.pk)
    if item.part_id != (part.pk if part else None) and is_packed(item.pk):
        raise Refused(_("These lie in a parcel. Take them out of it first."))
    return tie_goods(item, part, by, now)


@transaction.atomic
def ship_to(order: Order, fields: dict[str, Any], *, by: User, now: datetime) -> None:
    """Say where an order goes; all empty is the customer's own address.

    :raises Refused: something of it lies in a parcel with another order's.
    """
    order = Order.objects.select_for_update(of=("self",)).get(pk=order.pk)
    if shares_a_parcel(order.pk):
        raise Refused(
            _("It lies in a parcel with another order. Open that parcel, then change the address.")
        )
    change_order(order, fields, by, now)


@transaction.atomic
def write_down_customer(
    fields: dict[str, Any], *, token: UUID, by: User, now: datetime
) -> Customer:
    """Add a customer, once for one token."""
    _one_at_a_time()
    made = made_once(token)
    if made:
        return Customer.objects.get(pk=made.partition(":")[2])
    customer = add_customer(fields, by, now)
    record("once", f"once:{token}", by, now, made=f"customer:{customer.pk}")
    return customer


@transaction.atomic
def keep_answer(
    item: Item, *, kind: str, is_yes: bool, text: str, how: str, by: User, now: datetime
) -> Answer:
    """Keep an answer that a customer gave to one of us. Said twice alike it is kept once."""
    _one_at_a_time()
    newest = newest_answers([item.pk]).get((item.pk, kind))
    if newest and (newest.is_yes, newest.text, newest.how) == (is_yes, text, how):
        return newest
    return record_answer(item, kind=kind, is_yes=is_yes, text=text, how=how, by=by, now=now)


def agreed_text(wanted: str, price_note: str) -> str:
    """What a customer says yes to, word for word: what is wanted, and the price as agreed."""
    return "\n\n".join(part.strip() for part in (wanted, price_note) if part.strip())


def _book(order: Order, job: Job, by: User, now: datetime) -> Build:
    item = add_item(order, ItemKind.JOB, job.wanted, by, now)
    hilt = job.hilt
    if hilt is None and job.hilt_name:
        hilt = add_hilt(order.customer, job.hilt_name, by, now)
    build = book(item, hilt=hilt, kind=job.kind, leaves_by=job.leaves_by, by=by, now=now)
    if job.blade or job.blade_name or job.kind == Kind.BLADE:
        tie_blade(build.pk, _blade(order, job, by, now), seen=None, by=by, now=now)
    if job.promise_day:
        promise_with(build, job.promise_day, job.odds, reason="", by=by, now=now)
    if job.agreed_how:
        record_answer(
            item,
            kind=AnswerKind.AGREED,
            is_yes=True,
            text=agreed_text(job.wanted, order.price_note),
            how=job.agreed_how,
            by=by,
            now=now,
        )
    return build


def _blade(order: Order, job: Job, by: User, now: datetime) -> Blade:
    """The blade of a job: one of theirs, or a new one, of which a name is enough to begin with."""
    name = job.blade_name or _("Blade of order %s") % order.number
    return job.blade or write_blade(order.customer, {"name": name}, by, now)


def _one_at_a_time() -> None:
    """Let one of these deeds through at a time, so that a double tap sees what the first made."""
    House.objects.select_for_update().filter(id=1).first()
