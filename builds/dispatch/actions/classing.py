"""Chooses the service of a parcel, and takes a way out of a refusal."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.actions.open_parcels import lock_open
from builds.dispatch.actions.stowing import stow_all
from builds.dispatch.models import PackedGoods, Service
from builds.dispatch.queries.remedies import Remedy
from builds.dispatch.refusals import Refused
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def choose_service(parcel_id: int, service: Service, *, by: User, now: datetime) -> None:
    """Say by which service a parcel goes. The same again changes nothing.

    :raises Refused: the service is offered no more, or the parcel left or was opened.
    """
    parcel = lock_open(parcel_id)
    if parcel.service_id == service.pk:
        return
    if service.retired:
        raise Refused(_("%s is offered no more.") % service.name)
    parcel.service = service
    parcel.save(update_fields=["service"])
    record("service_chosen", parcel.about, by, now, service=service.name)


@transaction.atomic
def mend(parcel_id: int, remedy: Remedy, *, by: User, now: datetime) -> None:
    """Take a way out: say it of its things, take goods out, choose its service.

    :raises Refused: the parcel, or what lies in it, is not as it was any more.
    """
    parcel = lock_open(parcel_id)
    if remedy.values:
        stow_all(parcel_id, remedy.keys, remedy.values, by=by, now=now)
    elif remedy.keys:
        _take_out(parcel_id, remedy.keys, now)
        record("goods_out", parcel.about, by, now, what=remedy.what)
    if remedy.service:
        choose_service(parcel_id, remedy.service, by=by, now=now)


def _take_out(parcel_id: int, keys: tuple[str, ...], now: datetime) -> None:
    ids = [int(key.removeprefix("goods-")) for key in keys]
    PackedGoods.objects.filter(parcel=parcel_id, pk__in=ids, taken_out_at=None).update(
        taken_out_at=now
    )
