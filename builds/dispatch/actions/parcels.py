"""Closes parcels, opens them again, and notes that they left. Gates are asked in builds.gates."""

from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from builds.dispatch.actions.setting_aside import bring_back, let_all_go
from builds.dispatch.models import Packed, PackedGoods, Parcel
from builds.dispatch.queries.classing import classing_of, frozen
from builds.dispatch.queries.consigned import consignees, label_lines
from builds.dispatch.queries.travel import agreed_minor, usual_service
from builds.dispatch.refusals import Refused
from builds.progress.models import Build
from builds.progress.states import Leaves, State
from shop.diary.queries import calendar
from shop.history.actions import record
from shop.house.queries import house
from shop.orders.models import Order
from shop.people.models import User


@transaction.atomic
def close_parcel(
    builds: Sequence[Build], *, day: date, token: UUID, by: User, now: datetime
) -> Parcel:
    """Put builds in a parcel that leaves on a day. The same token twice is one parcel.

    :raises Refused: there is none, they go to different people, or one of them is not in
        dispatch, is collected, or lies in another parcel.
    """
    if not builds:
        raise Refused(_("Choose what goes into the parcel."))
    parcel, is_new = Parcel.objects.get_or_create(
        token=token, defaults={"day": day, "closed_at": now, "closed_by": by}
    )
    if not is_new:
        return parcel
    _check_consignees(Order.objects.filter(items__build__in=builds))
    for build in builds:
        _pack(build, parcel)
        record("packed", build.about, by, now, parcel=parcel.pk, day=day.isoformat())
    _go_as_usual(parcel, builds[0])
    return parcel


def _go_as_usual(parcel: Parcel, first: Build) -> None:
    """By what the last parcel to them went, until somebody says otherwise."""
    order = Order.objects.select_related("customer").get(items__build=first)
    parcel.service = usual_service(order.consignee)
    if parcel.service:
        parcel.save(update_fields=["service"])


def check_one_consignee(parcel: Parcel) -> None:
    """See to it that all that lies in a parcel goes to one person and one address.

    :raises Refused: it does not.
    """
    builds = Build.objects.filter(packed__parcel=parcel, packed__taken_out_at=None)
    goods = PackedGoods.objects.filter(parcel=parcel, taken_out_at=None)
    lies = Q(items__build__in=builds) | Q(items__in=goods.values("item"))
    _check_consignees(Order.objects.filter(lies))


def _check_consignees(found: QuerySet[Order]) -> None:
    orders = list(found.select_related("customer").distinct())
    if len({order.customer_id for order in orders}) > 1:
        raise Refused(_("These go to different people. Close a parcel for each of them."))
    if len({order.consignee for order in orders}) > 1:
        raise Refused(_("These go to different addresses. Close a parcel for each of them."))


def _pack(build: Build, parcel: Parcel) -> None:
    if build.state != State.DISPATCH:
        raise Refused(_("%(number)s is not in dispatch yet.") % {"number": build})
    if build.leaves_by != Leaves.POST:
        raise Refused(_("%(number)s is collected in person.") % {"number": build})
    try:
        with transaction.atomic():
            Packed.objects.create(parcel=parcel, build=build)
    except IntegrityError as error:
        raise Refused(_("%(number)s lies in a parcel already.") % {"number": build}) from error


def lock_parcel(parcel_id: int) -> Parcel:
    """The parcel, its row locked until the transaction ends. Lock it before its builds."""
    return Parcel.objects.select_for_update(of=("self",)).get(pk=parcel_id)


def lock_open(parcel_id: int) -> Parcel:
    """The parcel under its lock, where it may still change.

    :raises Refused: it left, or was opened again.
    """
    parcel = lock_parcel(parcel_id)
    if parcel.left_at:
        raise Refused(_("This parcel has left. What it held stays as it was written."))
    if parcel.opened_at:
        raise Refused(_("This parcel was opened again; close it first."))
    return parcel


@transaction.atomic
def open_parcel(parcel_id: int, by: User, now: datetime) -> Parcel:
    """Take a parcel apart again before it has left."""
    parcel = lock_parcel(parcel_id)
    if parcel.left_at:
        raise Refused(_("This parcel has left."))
    if parcel.opened_at is None:
        let_all_go(parcel, by=by, now=now)
        parcel.goods.filter(taken_out_at=None).update(taken_out_at=now)
        parcel.opened_at = now
        parcel.save(update_fields=["opened_at"])
        for packed in parcel.packed.filter(taken_out_at=None).select_related("build"):
            packed.taken_out_at = now
            packed.save(update_fields=["taken_out_at"])
            record("unpacked", packed.build.about, by, now, parcel=parcel.pk)
    return parcel


@transaction.atomic
def mark_left(parcel_id: int, by: User, now: datetime) -> Parcel:
    """Note that a parcel has left, once. Its builds are moved by builds.gates.

    How it was classed and where it went is kept with it: in the same row, in the same statement.
    """
    parcel = lock_parcel(parcel_id)
    if parcel.opened_at:
        raise Refused(_("This parcel was opened again; close it first."))
    if parcel.left_at is None:
        check_one_consignee(parcel)
        to = consignees([parcel.pk]).get(parcel.pk)
        parcel.classed = frozen(classing_of(parcel, calendar(house()).today(now)))
        parcel.sent_to = "\n".join(label_lines(to)) if to else ""
        parcel.left_at, parcel.left_by = now, by
        if parcel.declared_minor is None:
            parcel.declared_minor = agreed_minor(parcel)
        parcel.save(update_fields=["left_at", "left_by", "declared_minor", "classed", "sent_to"])
    return parcel


@transaction.atomic
def mark_not_left(parcel_id: int, by: User, now: datetime) -> None:
    """Take "left" back, as when its move is undone; the undoing is what history keeps."""
    parcel = lock_parcel(parcel_id)
    if parcel.left_at:
        left_at, parcel.left_at, parcel.left_by = parcel.left_at, None, None
        parcel.classed, parcel.sent_to = None, ""
        parcel.save(update_fields=["left_at", "left_by", "classed", "sent_to"])
        bring_back(parcel, left_at, by=by, now=now)


@transaction.atomic
def note_tracking(
    parcel: Parcel, *, carrier: str, tracking: str, by: User, now: datetime
) -> Parcel:
    """Write down who carries a parcel and under which number. The same again changes nothing.

    :raises Refused: another customer's parcel has this number.
    """
    parcel = lock_parcel(parcel.pk)
    _check_number(parcel, tracking)
    if (parcel.carrier, parcel.tracking) != (carrier, tracking):
        _note(parcel, carrier, tracking, by, now)
    return parcel


@transaction.atomic
def add_tracking(parcel_id: int, *, carrier: str, tracking: str, by: User, now: datetime) -> Parcel:
    """Give a parcel the tracking number that it lacks. A carrier noted before stands if none is.

    :raises Refused: it was opened again, or got another number meanwhile.
    """
    parcel = lock_parcel(parcel_id)
    if parcel.opened_at:
        raise Refused(_("This parcel was opened again; close it first."))
    if parcel.tracking and parcel.tracking != tracking:
        raise Refused(_("It has another number already: %s.") % parcel.tracking)
    _check_number(parcel, tracking)
    if not parcel.tracking:
        _note(parcel, carrier or parcel.carried_by, tracking, by, now)
    return parcel


def _check_number(parcel: Parcel, tracking: str) -> None:
    """Refuse a label that was scanned twice; what goes to one customer may share a number."""
    if not tracking:
        return
    own = Order.objects.filter(items__build__packed__parcel=parcel).values("customer")
    others = Packed.objects.filter(
        parcel__tracking=tracking, parcel__opened_at=None, taken_out_at=None
    )
    taken = others.exclude(parcel=parcel).exclude(build__item__order__customer__in=own)
    first = taken.select_related("build").first()
    if first:
        raise Refused(_("The parcel of %s has this number already.") % first.build)


def _note(parcel: Parcel, carrier: str, tracking: str, by: User, now: datetime) -> None:
    parcel.carrier, parcel.tracking = carrier, tracking
    parcel.save(update_fields=["carrier", "tracking"])
    for packed in parcel.packed.filter(taken_out_at=None).select_related("build"):
        record("tracking_noted", packed.build.about, by, now, parcel=parcel.pk)
