"""Writes suppliers down, and how long their parcels take."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.history.queries import made_once
from shop.house.models import House
from shop.people.models import User
from shop.stores.models import Purchase, PurchaseState, Supplier
from shop.stores.refusals import Refused


@transaction.atomic
def add_supplier(fields: Mapping[str, Any], *, token: UUID, by: User, now: datetime) -> Supplier:
    """Write a supplier down. The same token twice is one supplier.

    :param fields: name, e-mail, web page, usual days and their spread, note.
    :raises Refused: another one has the name.
    """
    House.objects.select_for_update().filter(id=1).first()  # one at a time: a double tap sees it
    made = made_once(token)
    if made:
        return Supplier.objects.get(pk=made.partition(":")[2])
    _check_name(fields, other_than=None)
    supplier = Supplier.objects.create(**fields)
    record("once", f"once:{token}", by, now, made=supplier.about)
    record("supplier_added", supplier.about, by, now)
    return supplier


@transaction.atomic
def change_supplier(
    supplier_id: int, fields: Mapping[str, Any], *, by: User, now: datetime
) -> Supplier:
    """Change what is written of a supplier; fields that were left alone stay as they are."""
    supplier = _locked(supplier_id)
    changed = {name: value for name, value in fields.items() if getattr(supplier, name) != value}
    if not changed:
        return supplier
    _check_name(changed, other_than=supplier)
    for name, value in changed.items():
        setattr(supplier, name, value)
    supplier.save(update_fields=list(changed))
    record("supplier_changed", supplier.about, by, now, fields=sorted(changed))
    return supplier


@transaction.atomic
def retire_supplier(supplier_id: int, *, by: User, now: datetime) -> Supplier:
    """Offer a supplier no more.

    :raises Refused: an order with them is still open.
    """
    supplier = _locked(supplier_id)
    if supplier.retired:
        return supplier
    waits = Purchase.objects.filter(
        supplier=supplier, state__in=[PurchaseState.DRAFT, PurchaseState.ORDERED]
    ).first()
    if waits:
        raise Refused(_("%s is still open with them. Close or cancel it first.") % waits)
    supplier.retired = True
    supplier.save(update_fields=["retired"])
    record("supplier_retired", supplier.about, by, now)
    return supplier


@transaction.atomic
def bring_supplier_back(supplier_id: int, *, by: User, now: datetime) -> Supplier:
    """Offer a supplier again."""
    supplier = _locked(supplier_id)
    if supplier.retired:
        supplier.retired = False
        supplier.save(update_fields=["retired"])
        record("supplier_back", supplier.about, by, now)
    return supplier


def _locked(supplier_id: int) -> Supplier:
    return Supplier.objects.select_for_update().get(pk=supplier_id)


def _check_name(fields: Mapping[str, Any], other_than: Supplier | None) -> None:
    name = str(fields.get("name", ""))
    same = Supplier.objects.filter(name__iexact=name).exclude(pk=other_than.pk if other_than else 0)
    if name and same.exists():
        raise Refused(_("There is a supplier of that name already."))
