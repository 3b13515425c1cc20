"""Forgets a customer: names, addresses, messages and photos go; the books and the work stay.

All of it in one transaction, with the append-only tables open: it is what maintenance is for.
"""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.forgetting.actions.scrubbing import Scrub, names_of
from builds.forgetting.queries.held import blobs_of, keys_of, model_of, rows_of
from builds.forgetting.queries.obstacles import obstacles
from builds.forgetting.queries.strays import strays
from builds.forgetting.reach import HELD, OWN, Held
from builds.importing.models import Finding, Made
from builds.importing.states import AT_WORK
from builds.sounds.models import SoundSet
from shop.append_only import maintenance
from shop.files.actions import let_go
from shop.files.models import Upload
from shop.history.actions import record
from shop.history.models import Entry
from shop.house.queries import house
from shop.keeping.actions.erased import write_list
from shop.keeping.actions.withdrawing import withdraw_exports
from shop.orders.models import Account, Enquiry, EnquiryState
from shop.people.models import Customer
from shop.post.models import Message, PrivateLink, State
from shop.web.wake import wake


class Refused(Exception):
    """Why nobody was erased, in one sentence."""


def erase(pk: int, *, typed: str, by: Any, now: datetime) -> Customer:
    """Forget a customer. A second time changes nothing.

    :param typed: their full name, typed by the owner's own hand.
    :raises Refused: another name was typed, or something is still open.
    """
    with maintenance():
        customer = Customer.objects.select_for_update().get(pk=pk)
        if customer.erased_at:
            return customer
        if typed.strip() != customer.full_name.strip():
            raise Refused(_("That is not the name. Type: %s") % customer.full_name)
        if obstacles(customer):
            raise Refused(_("Something came open meanwhile. Look at what stands against it."))
        _forget(customer, _until(now), by, now)
    return customer


def erase_again(pk: int, since: datetime, until: date, now: datetime) -> bool:
    """Forget somebody whom a restore has brought back; whether there was such a customer."""
    with maintenance():
        found = Customer.objects.select_for_update().filter(pk=pk, since=since, erased_at=None)
        for customer in found:
            _forget(customer, until, None, now)
            return True
    return False


def _until(now: datetime) -> date:
    shop = house()
    today = timezone.localtime(now, shop.zone).date()
    year = today.year + shop.names_kept_years
    return today.replace(year=year, day=min(today.day, 28 if today.month == 2 else today.day))


def _forget(customer: Customer, until: date, by: Any, now: datetime) -> None:
    _tie_to_them(strays(customer), customer)
    keys, scrub = keys_of(customer.pk), Scrub(names_of(customer))
    blobs = blobs_of(customer.pk)
    _close_what_is_theirs(customer, keys, now)
    _words_elsewhere(customer, keys, scrub)
    for held in HELD:
        _of_table(held, customer.pk, scrub)
    _name_itself(customer, until, now)
    _let_files_go(blobs)
    withdraw_exports(now)
    record("customer_erased", f"customer:{customer.pk}", by, now)
    transaction.on_commit(write_list)
    wake("shop.files.tasks.sweep_orphans")


def _tie_to_them(found: list[Enquiry], customer: Customer) -> None:
    """What they asked before anybody knew them goes the way of what they asked after."""
    Enquiry.objects.filter(pk__in=[each.pk for each in found]).update(customer=customer)


def _close_what_is_theirs(customer: Customer, keys: list[str], now: datetime) -> None:
    links = PrivateLink.objects.filter(about__in=keys)
    links.filter(revoked_at=None).update(revoked_at=now)
    links.update(version=F("version") + 1)  # the old address opens nothing if it is renewed
    open_ones = Enquiry.objects.filter(
        customer=customer, state__in=[EnquiryState.OPEN, EnquiryState.ANSWERED]
    )
    open_ones.update(state=EnquiryState.LOST, why_lost=_("erased"), state_since=now)
    Account.objects.filter(customer=customer, closed_at=None).update(closed_at=now)
    sets = SoundSet.objects.filter(customer=customer, ended_at=None)
    sets.update(ended_at=now)
    # A reply of ours to a question of theirs, and what the staff was told of their builds.
    theirs = Message.objects.filter(Q(customer=customer) | Q(about__in=keys))
    Message.objects.filter(answer_to__in=theirs).update(answer_to=None)
    theirs.filter(customer=None).delete()


def _words_elsewhere(customer: Customer, keys: list[str], scrub: Scrub) -> None:
    for entry in Entry.objects.filter(about__in=keys):
        clean = scrub.value(entry.parameters)
        if clean != entry.parameters:
            Entry.objects.filter(pk=entry.pk).update(parameters=clean)
    Made.objects.filter(about__in=keys).update(before={})
    Finding.objects.exclude(of__state__in=AT_WORK).filter(of__kept_at__isnull=False).delete()
    # The morning's lists name many; theirs is taken out of those that left.
    named = Q(body__contains=customer.full_name) | Q(subject__contains=customer.full_name)
    named |= Q(body__contains=customer.called) | Q(subject__contains=customer.called)
    for message in Message.objects.filter(named, customer=None).exclude(state=State.QUEUED):
        Message.objects.filter(pk=message.pk).update(
            subject=scrub.text(message.subject), body=scrub.text(message.body)
        )


def _of_table(held: Held, customer_id: int, scrub: Scrub) -> None:
    rows = rows_of(held, customer_id)
    if held.rows_go:
        _delete(held, customer_id)
        return
    cleared: dict[str, Any] = dict.fromkeys(held.goes, "") | dict.fromkeys(held.files)
    if cleared:
        rows.update(**cleared)
    for row in rows.only("pk", *held.words) if held.words else ():
        was = {name: getattr(row, name) for name in held.words}
        clean = {name: scrub.text(words) for name, words in was.items()}
        if clean != was:
            model_of(held)._base_manager.filter(pk=row.pk).update(**clean)


def _delete(held: Held, customer_id: int) -> None:
    rows = rows_of(held, customer_id)
    if held.model == "SoundFile":  # a copy points to what it was made from
        rows.update(made_from=None)
    rows.delete()


def _name_itself(customer: Customer, until: date, now: datetime) -> None:
    for column in OWN.goes:
        setattr(customer, column, "")
    customer.called = customer.full_name = _("Erased customer")
    customer.erased_at, customer.named_until = now, until
    customer.save()


def _let_files_go(blobs: Iterable[int]) -> None:
    # An upload is the way by which a file came; its name may be that of a person.
    Upload.objects.filter(blob__in=list(blobs)).update(blob=None, name="-")
    for blob in sorted(blobs):
        let_go(blob)
