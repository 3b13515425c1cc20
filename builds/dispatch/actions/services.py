"""Writes down the services that parcels go by; changes, orders and retires them."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from builds.dispatch.models import Service
from builds.dispatch.refusals import Overtaken, Refused
from builds.dispatch.usual import Usual
from shop.history.actions import record
from shop.history.queries import last_about, made_once
from shop.house.models import House
from shop.people.models import User


@transaction.atomic
def add_service(fields: Mapping[str, Any], *, token: UUID, by: User, now: datetime) -> Service:
    """Write a service down, the last of the list. The same token twice is one service."""
    _one_at_a_time()
    made = made_once(token)
    if made:
        return Service.objects.get(pk=int(made.partition(":")[2]))
    service = _add(fields, by, now)
    record("once", f"once:{token}", by, now, made=service.about)
    return service


@transaction.atomic
def add_usual(usual: list[Usual], *, by: User, now: datetime) -> list[Service]:
    """Write the usual services down, where the shop has none yet. Twice is once."""
    _one_at_a_time()
    if Service.objects.exists():
        return []
    return [_add(each.fields(), by, now) for each in usual]


def _add(fields: Mapping[str, Any], by: User, now: datetime) -> Service:
    last = Service.objects.aggregate(last=Max("position"))["last"] or 0
    service = Service.objects.create(position=last + 1, **fields)
    record("service_added", service.about, by, now, service=service.name)
    return service


@transaction.atomic
def change_service(
    service_id: int, fields: Mapping[str, Any], *, seen: int, by: User, now: datetime
) -> Service:
    """Change what is written of a service.

    :param seen: the newest deed that the person had before them.
    :raises Overtaken: somebody has changed it since.
    :raises Refused: it would travel another way than that which the carrier's rules speak of.
    """
    service = Service.objects.select_for_update().get(pk=service_id)
    changed = [name for name, value in fields.items() if getattr(service, name) != value]
    if not changed:
        return service
    last = last_about(service.about)
    if last and last.pk != seen:
        who = last.actor.name if last.actor else _("Somebody")
        raise Overtaken(
            _("%s changed this service first. What you typed is still here; look, then save.") % who
        )
    if "mode" in changed and service.rules.filter(withdrawn_at=None).exists():
        raise Refused(
            _("The carrier’s own rules kept here speak of the way it travels now. Withdraw them.")
        )
    for name in changed:
        setattr(service, name, fields[name])
    service.save(update_fields=changed)
    record("service_changed", service.about, by, now, fields=sorted(changed))
    return service


@transaction.atomic
def retire_service(service_id: int, *, by: User, now: datetime) -> Service:
    """Offer a service no more. Parcels that go by it keep it."""
    service = Service.objects.select_for_update().get(pk=service_id)
    if not service.retired:
        service.retired = True
        service.save(update_fields=["retired"])
        record("service_retired", service.about, by, now, service=service.name)
    return service


@transaction.atomic
def service_back(service_id: int, *, by: User, now: datetime) -> Service:
    """Offer a service again."""
    service = Service.objects.select_for_update().get(pk=service_id)
    if service.retired:
        service.retired = False
        service.save(update_fields=["retired"])
        record("service_back", service.about, by, now, service=service.name)
    return service


@transaction.atomic
def move_service_up(service_id: int, *, by: User, now: datetime) -> None:
    """Put a service one place earlier in the list."""
    _one_at_a_time()
    rows = list(Service.objects.filter(retired=False))
    place = next((n for n, row in enumerate(rows) if row.pk == service_id), 0)
    if not place:
        return
    rows[place - 1], rows[place] = rows[place], rows[place - 1]
    for position, row in enumerate(rows, start=1):
        Service.objects.filter(pk=row.pk).update(position=position)
    moved = rows[place - 1]
    record("service_moved", moved.about, by, now, service=moved.name)


def _one_at_a_time() -> None:
    """Let one of these deeds through at a time, so that a double tap sees what the first made."""
    House.objects.select_for_update().filter(id=1).first()
