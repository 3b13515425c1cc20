"""Takes a way out of a refusal."""

from datetime import datetime

from django.db import transaction

from builds.dispatch.actions.boxes import choose_service
from builds.dispatch.actions.contents import take_goods_out
from builds.dispatch.actions.parcels import lock_open
from builds.dispatch.actions.stowing import stow_all
from builds.dispatch.models import PackedGoods
from builds.dispatch.queries.remedies import Remedy
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def mend(parcel_id: int, remedy: Remedy, *, by: User, now: datetime) -> None:
    """Take a way out: say it of its things, take goods out, choose its service.

    :raises Refused: the parcel, or what lies in it, is not as it was any more.
    """
    lock_open(parcel_id)
    if remedy.values:
        stow_all(parcel_id, remedy.keys, remedy.values, by=by, now=now)
    elif remedy.keys:
        _take_out(parcel_id, remedy.keys, by, now)
    if remedy.service:
        choose_service(parcel_id, remedy.service, by=by, now=now)


@transaction.atomic
def say_used(parcel_id: int, is_unused: bool, *, by: User, now: datetime) -> None:
    """Say whether nothing in a parcel was used or repaired before. The same again is nothing.

    :raises Refused: the parcel is not here any more.
    """
    parcel = lock_open(parcel_id)
    if parcel.is_unused != is_unused:
        parcel.is_unused = is_unused
        parcel.save(update_fields=["is_unused"])
        record("said_unused" if is_unused else "said_used", parcel.about, by, now)


def _take_out(parcel_id: int, keys: tuple[str, ...], by: User, now: datetime) -> None:
    ids = [int(key.removeprefix("goods-")) for key in keys]
    there = PackedGoods.objects.filter(parcel=parcel_id, pk__in=ids, taken_out_at=None)
    for item_id in there.values_list("item", flat=True):
        take_goods_out(parcel_id, item_id, by=by, now=now)
