"""Goods of an order that has no build in the parcel: its parcels leave in turn."""

from collections.abc import Callable
from datetime import datetime
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.dispatch.models import PackedGoods
from builds.gates import actions as gates
from builds.models import Build, Move, Parcel
from builds.progress.states import State
from shop.models import User
from shop.orders.actions import add_item, place_order
from shop.orders.models import ItemKind, Order
from tests.gates.test_gates import parcel_with
from tests.makers import at_once, make_part, tick_all


def with_goods(by: User, now: datetime) -> tuple[list[Parcel], Order]:
    """Two parcels to one person, in each of them goods of an order that has nothing else."""
    parcels, builds = zip(*(parcel_with(by, now, 1) for _ in range(2)), strict=True)
    customer = builds[0][0].item.order.customer
    for build in Build.objects.all():
        build.item.order.customer = customer
        build.item.order.save()
        if build.hilt:
            build.hilt.customer = customer
            build.hilt.save()
    order = place_order(customer, token=uuid4(), by=by, now=now)
    for parcel in parcels:
        blade = make_part(by, now, 1, kind="blade")
        item = add_item(order, ItemKind.GOODS, "a spare blade", by, now, 1, blade)
        PackedGoods.objects.create(parcel=parcel, item=item)
        tick_all(parcel, by, now)
    return list(parcels), order


def leaves(parcel: Parcel, by: User, now: datetime) -> Callable[[], list[Move]]:
    return lambda: gates.leave(parcel.pk, by=by, now=now)


@pytest.mark.django_db(transaction=True)
def test_two_parcels_with_goods_of_one_order_leave_at_once(owner: User, now: datetime) -> None:
    parcels, _order = with_goods(owner, now)
    left = at_once(*(leaves(parcel, owner, now) for parcel in parcels))
    assert [len(moves) for moves in left] == [1, 1]
    assert set(Build.objects.values_list("state", flat=True)) == {State.SENT}


@pytest.mark.django_db
def test_leaving_waits_for_the_order_of_the_goods(owner: User, now: datetime) -> None:
    (parcel, _other), order = with_goods(owner, now)
    with CaptureQueriesContext(connection) as queries:
        gates.leave(parcel.pk, by=owner, now=now)
    own = parcel.packed.get().build.item.order_id
    # In whatever order a set hands out two numbers.
    both = {f"IN ({own}, {order.pk})", f"IN ({order.pk}, {own})"}
    asked = [each["sql"] for each in queries if 'FROM "shop_order"' in each["sql"]]
    assert any(each in sql for sql in asked for each in both)
