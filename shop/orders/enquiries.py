"""Notes enquiries and what becomes of them. Who settled one first is the one whose word stands."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.files.models import Blob
from shop.history.actions import record
from shop.orders.models import Enquiry, EnquiryPhoto, EnquiryState, Order
from shop.people.models import User


class Refused(ValueError):
    """A deed with an enquiry that cannot be, said in one sentence."""


@transaction.atomic
def note_enquiry(fields: dict[str, Any], *, token: UUID, by: User, now: datetime) -> Enquiry:
    """Write an enquiry down. The same token twice is one enquiry.

    :param fields: customer or called and contact, wishes, deadline, how.
    """
    noted, is_new = Enquiry.objects.get_or_create(
        token=token, defaults={**fields, "came_at": now, "state_since": now, "noted_by": by}
    )
    if is_new:
        record("enquiry_noted", noted.about, by, now)
    return noted


@transaction.atomic
def change_enquiry(enquiry_id: int, fields: dict[str, Any], by: User, now: datetime) -> Enquiry:
    """Change what was written down; what is settled stays as it was."""
    found = _unsettled(enquiry_id)
    changed = {name: value for name, value in fields.items() if getattr(found, name) != value}
    for name, value in changed.items():
        setattr(found, name, value)
    if changed:
        found.save(update_fields=list(changed))
        record("enquiry_changed", found.about, by, now, fields=sorted(changed))
    return found


@transaction.atomic
def add_photos(enquiry_id: int, blobs: Iterable[Blob], by: User, now: datetime) -> int:
    """Put photos to an enquiry, each once; says how many are new. They can still come later on."""
    found, new = _locked(enquiry_id), 0
    for blob in blobs:
        _photo, made = EnquiryPhoto.objects.get_or_create(
            enquiry=found, blob=blob, defaults={"at": now}
        )
        new += made
    if new:
        record("enquiry_photos", found.about, by, now, count=new)
    return new


@transaction.atomic
def mark_answered(enquiry_id: int, by: User, now: datetime) -> Enquiry:
    """Note that they have our answer, and that it is their turn. Twice is once."""
    found = _unsettled(enquiry_id)
    if found.state != EnquiryState.ANSWERED:
        _turn(found, EnquiryState.ANSWERED, now)
        record("enquiry_answered", found.about, by, now)
    return found


@transaction.atomic
def mark_open(enquiry_id: int, by: User, now: datetime) -> Enquiry:
    """Open an enquiry again, as when they write once more; also one that came to nothing."""
    found = _locked(enquiry_id)
    if found.order_id:
        raise Refused(_("It became an order. Write there what is new."))
    if found.state != EnquiryState.OPEN:
        _turn(found, EnquiryState.OPEN, now)
        record("enquiry_reopened", found.about, by, now)
    return found


@transaction.atomic
def mark_lost(enquiry_id: int, why: str, by: User, now: datetime) -> Enquiry:
    """Note that it came to nothing, and why."""
    found = _locked(enquiry_id)
    if found.state == EnquiryState.LOST:
        return found
    if found.order_id:
        raise Refused(_("It became an order. End the build there."))
    if not why.strip():
        raise Refused(_("Write down in a few words why: it helps with the next one."))
    _turn(found, EnquiryState.LOST, now, why_lost=why.strip())
    record("enquiry_lost", found.about, by, now, why=why.strip())
    return found


@transaction.atomic
def mark_ordered(enquiry_id: int, order: Order, by: User, now: datetime) -> Enquiry:
    """Tie an enquiry to the order that it became; the customer of the order is who asked.

    :raises Refused: another order came of it first.
    """
    found = _locked(enquiry_id)
    if found.order_id == order.pk:
        return found
    if found.order_id:
        raise Refused(_("Order %s came of it already.") % found.order)
    _turn(found, EnquiryState.ORDERED, now, order=order, customer=order.customer)
    record("enquiry_ordered", found.about, by, now, number=order.number)
    return found


def _locked(enquiry_id: int) -> Enquiry:
    # Nothing read along: PostgreSQL joins it as it was before the lock was waited for.
    return Enquiry.objects.select_for_update().get(pk=enquiry_id)


def _unsettled(enquiry_id: int) -> Enquiry:
    found = _locked(enquiry_id)
    if found.state == EnquiryState.ORDERED:
        raise Refused(_("It became order %s. Write there what is new.") % found.order)
    if found.state == EnquiryState.LOST:
        raise Refused(_("It came to nothing. Open the enquiry again first."))
    return found


def _turn(found: Enquiry, state: str, now: datetime, **facts: Any) -> None:
    found.why_lost = ""
    found.state, found.state_since = state, now
    for name, value in facts.items():
        setattr(found, name, value)
    found.save()
