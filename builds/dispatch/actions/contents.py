"""Puts goods beside the builds of a parcel, and takes them out again."""

from datetime import datetime

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from builds.dispatch.actions.packing import untick_again
from builds.dispatch.actions.parcels import check_one_consignee, lock_open
from builds.dispatch.actions.setting_aside import about_goods, let_go, set_aside
from builds.dispatch.models import PackedGoods
from builds.dispatch.refusals import Refused
from shop.history.actions import record
from shop.orders.models import Item, ItemKind
from shop.people.models import User
from shop.stores.actions import Short


@transaction.atomic
def put_goods_in(parcel_id: int, item_id: int, *, by: User, now: datetime) -> PackedGoods:
    """Put goods of an order into a parcel; those that stand in stores are set aside. Twice is once.

    :raises Refused: they are no goods, lie in another parcel, go elsewhere, or lack in stores.
    """
    parcel = lock_open(parcel_id)
    item = Item.objects.select_related("part").get(pk=item_id)
    if item.kind != ItemKind.GOODS:
        raise Refused(_("Only goods are put in like this. A hilt is packed on the dispatch day."))
    there = PackedGoods.objects.filter(item=item, taken_out_at=None).first()
    if there and there.parcel_id == parcel.pk:
        return there
    if there:
        raise Refused(_("These lie in another parcel already."))
    goods = _put(parcel.pk, item)
    check_one_consignee(parcel)
    if item.part:
        try:
            set_aside(parcel, item.part, item.quantity, about=about_goods(goods), by=by, now=now)
        except Short as error:
            raise Refused(str(error)) from error
    untick_again(parcel, ("padded",), None, by=by, now=now)
    record("goods_packed", parcel.about, by, now, what=item.wanted[:80])
    return goods


def _put(parcel_id: int, item: Item) -> PackedGoods:
    try:
        with transaction.atomic():
            return PackedGoods.objects.create(parcel_id=parcel_id, item=item)
    except IntegrityError as error:
        raise Refused(_("These lie in another parcel already.")) from error


@transaction.atomic
def take_goods_out(parcel_id: int, item_id: int, *, by: User, now: datetime) -> None:
    """Take goods out of a parcel again; the stores have them back. Twice is once."""
    parcel = lock_open(parcel_id)
    goods = parcel.goods.filter(item=item_id, taken_out_at=None).select_related("item").first()
    if goods is None:
        return
    goods.taken_out_at = now
    goods.save(update_fields=["taken_out_at"])
    let_go(about_goods(goods), _("taken out of the parcel"), by=by, now=now)
    untick_again(parcel, ("padded",), None, by=by, now=now)
    record("goods_unpacked", parcel.about, by, now, what=goods.item.wanted[:80])
