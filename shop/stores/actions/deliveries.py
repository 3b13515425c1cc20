"""Logs what came of a purchase order, into stock at once; takes back what was logged wrongly."""

from collections.abc import Collection, Mapping
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.people.models import User
from shop.post.actions import withdraw_by_cause
from shop.stores.actions import stock
from shop.stores.actions.buying import close_if_done, locked, reopen_if_missing
from shop.stores.models import Delivery, DeliveryLine, Purchase, PurchaseLine, PurchaseState
from shop.stores.queries.buying import came_of, not_come
from shop.stores.queries.levels import amount, named
from shop.stores.refusals import Overtaken, Refused


class MoreThanOrdered(Refused):
    """More came than was still to come: asks whether that is so. Names the lines."""

    def __init__(self, lines: Collection[int], sentence: str) -> None:
        self.lines = frozenset(lines)
        super().__init__(sentence)


@transaction.atomic
def log_delivery(
    purchase_id: int,
    came: Mapping[int, int],
    *,
    surplus: Collection[int] = (),
    seen: int,
    note: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Delivery:
    """Log a delivery and put what came into stock. The same token twice is one delivery.

    :param came: line id → how many good ones came.
    :param surplus: lines of which somebody says that more came than was ordered.
    :param seen: how many deliveries of this order the page had shown.
    :raises Overtaken: somebody has logged a delivery since.
    :raises MoreThanOrdered: more than was still to come, and nobody said that it is so.
    :raises Refused: nothing came, or nothing is awaited.
    """
    purchase = locked(purchase_id)
    done = Delivery.objects.filter(token=token, purchase=purchase).first()
    if done:
        return done
    _check_seen(purchase, seen)
    lines = _lines(purchase, came)
    _check_surplus(lines, came, surplus)
    delivery = Delivery.objects.create(
        token=token, purchase=purchase, came_at=now, by=by, note=note.strip()
    )
    for line in lines:
        _to_stock(delivery, line, came[line.pk], by, now)
    what = ", ".join(named(line.part, came[line.pk]) for line in lines)
    record("delivery_logged", purchase.about, by, now, what=what)
    close_if_done(purchase, by, now)
    return delivery


@transaction.atomic
def take_back(delivery_id: int, *, by: User, now: datetime) -> Purchase:
    """Take a delivery back that was logged wrongly: out of stock, and awaited again. Twice is once.

    What customers were to be told of it, and has not left yet, is withdrawn.

    :raises Short: some of it is reserved or fitted by now.
    """
    purchase = locked(Delivery.objects.values_list("purchase", flat=True).get(pk=delivery_id))
    delivery = Delivery.objects.get(pk=delivery_id)
    if delivery.taken_back_at:
        return purchase
    lines = list(delivery.lines.select_related("line__part").order_by("line__part_id"))
    for one in lines:
        stock.take_back(one, token=uuid5(delivery.token, f"back:{one.pk}"), by=by, now=now)
    delivery.taken_back_at = now
    delivery.save(update_fields=["taken_back_at"])
    what = ", ".join(named(one.line.part, one.quantity) for one in lines)
    record("delivery_taken_back", purchase.about, by, now, what=what)
    reopen_if_missing(purchase)
    for line in not_come(one.line for one in lines):
        withdraw_by_cause(line.about, now)  # "the parts came" is untrue now
    return purchase


def _check_seen(purchase: Purchase, seen: int) -> None:
    if purchase.state != PurchaseState.ORDERED and purchase.deliveries.count() == seen:
        raise Refused(
            _("%(number)s is %(state)s. Receive what came on the part's own page.")
            % {"number": purchase, "state": purchase.get_state_display()}
        )
    if purchase.deliveries.count() == seen:
        return
    last = purchase.deliveries.select_related("by").first()
    what = ", ".join(
        named(one.line.part, one.quantity)
        for one in last.lines.select_related("line__part")  # type: ignore[union-attr]
    )
    raise Overtaken(
        _("%(who)s logged a delivery first: %(what)s. Is yours the same parcel? Then leave it be.")
        % {"who": last.by.name if last else "", "what": what}
    )


def _lines(purchase: Purchase, came: Mapping[int, int]) -> list[PurchaseLine]:
    wanted = [pk for pk, quantity in came.items() if quantity > 0]
    # In the order of their parts: two parcels at once lock the same levels one after the other.
    found = purchase.lines.filter(pk__in=wanted).select_related("part")
    lines = list(found.order_by("part_id"))
    if not lines:
        raise Refused(_("Say what came: nothing is ticked."))
    given_up = next((line for line in lines if line.dropped_at), None)
    if given_up:
        raise Refused(_("%s was given up. Receive it on the part's own page.") % given_up.part.name)
    return lines


def _check_surplus(
    lines: list[PurchaseLine], came: Mapping[int, int], surplus: Collection[int]
) -> None:
    stands = came_of([line.pk for line in lines])
    over = [
        line for line in lines if came[line.pk] > stands[line.pk].missing and line.pk not in surplus
    ]
    if over:
        said = [_asks(line, came[line.pk], stands[line.pk].missing) for line in over]
        raise MoreThanOrdered([line.pk for line in over], " ".join(said))


def _asks(line: PurchaseLine, came: int, missing: int) -> str:
    return _("%(came)s of “%(part)s” came, and %(missing)s were still to come. Is that so?") % {
        "came": amount(line.part, came),
        "part": line.part.name,
        "missing": amount(line.part, missing),
    }


def _to_stock(
    delivery: Delivery, line: PurchaseLine, quantity: int, by: User, now: datetime
) -> None:
    row = DeliveryLine.objects.create(delivery=delivery, line=line, quantity=quantity)
    stock.receive(
        line.part,
        quantity,
        token=uuid5(delivery.token, f"line:{line.pk}"),
        by=by,
        now=now,
        cost_minor=line.cost_minor,
        delivery_line=row,
    )
