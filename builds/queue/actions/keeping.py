"""Keeps what was tried on the line: a day worked more, days closed, parts that come later."""

from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.queue.actions.once import Refused, first_time
from shop.diary.actions import add_closure
from shop.people.models import User
from shop.stores.actions import Refused as StoresRefused
from shop.stores.actions.buying import change_purchase, locked
from shop.stores.models import PurchaseLine
from shop.web.dated import dated


@transaction.atomic
def keep_closure(
    first: date, last: date, reason: str, *, token: UUID, by: User, now: datetime
) -> bool:
    """Close the shop on these days; the same form closes it once."""
    if not first_time(token, "closure", by, now):
        return False
    add_closure(first, last, reason, by=by, now=now)
    return True


@transaction.atomic
def keep_late(line_id: int, days: int, *, seen: date | None, by: User, now: datetime) -> date:
    """Write down that the order of a line is expected so many days later than the page showed.

    :raises Refused: its day was changed meanwhile, or it is not awaited any more.
    """
    purchase = locked(PurchaseLine.objects.get(pk=line_id).purchase_id)
    if seen is None:
        raise Refused(_("It has no expected day yet. Say one on the order itself."))
    wanted = seen + timedelta(days=days)
    if purchase.expected_on == wanted:
        return wanted  # tapped twice
    if purchase.expected_on != seen:
        told = dated(purchase.expected_on, "long") if purchase.expected_on else _("open")
        raise Refused(_("Its day was changed meanwhile: %s. Nothing was changed.") % told)
    try:
        change_purchase(purchase.pk, {"expected_on": wanted}, by=by, now=now)
    except StoresRefused as error:
        raise Refused(str(error)) from error
    return wanted
