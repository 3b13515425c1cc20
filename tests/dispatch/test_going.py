"""What is due before each part of an order goes: the parts add up to the whole, to the coin."""

from datetime import datetime
from random import Random
from uuid import uuid4

import pytest
from django.test import Client

from builds.dispatch.models import PackedGoods, Parcel
from builds.dispatch.queries.going import Going, goings, parcel_dues, parts_to_go
from builds.gates.conditions import conditions
from builds.models import Build
from builds.progress.states import State
from shop.models import House, User
from shop.orders.actions import add_item, place_order
from shop.orders.actions.payments import pay
from shop.orders.models import Item, ItemKind, Order
from tests.bench.pages import words
from tests.makers import make_agreed, make_build, make_parcel

pytestmark = pytest.mark.django_db


def several(by: User, now: datetime, count: int) -> list[Build]:
    """Builds of one order, in dispatch."""
    builds = [make_build(by, now, State.DISPATCH) for _ in range(count)]
    for build in builds[1:]:
        build.item.order = builds[0].item.order
        build.item.save()
    return builds


def came(order: Order, amount: int, by: User, now: datetime) -> None:
    pay(order, "payment", amount, "cash", "", now.date(), token=uuid4(), by=by, now=now)


def goods_in(parcel: Parcel, order: Order, by: User, now: datetime) -> Item:
    item = add_item(order, ItemKind.GOODS, "a spare blade", by, now)
    PackedGoods.objects.create(parcel=parcel, item=item)
    return item


def going(build: Build) -> Going:
    return goings([Build.objects.select_related("item__order").get(pk=build.pk)])[build.pk]


def settled(build: Build) -> bool:
    found = conditions([build.pk])[build.pk]
    return next(one for one in found if one.code == "settled").is_open


def leave(parcel: Parcel, now: datetime) -> None:
    parcel.left_at = now
    parcel.save()
    Build.objects.filter(packed__parcel=parcel).update(state=State.SENT, tray=None)


@pytest.mark.parametrize("seed", range(12))
def test_parts_add_up_however_an_order_is_parted(seed: int, owner: User, now: datetime) -> None:
    chance = Random(seed)  # noqa: S311
    builds = several(owner, now, chance.randint(2, 5))
    order = builds[0].item.order
    goods = [
        add_item(order, ItemKind.GOODS, "a blade", owner, now) for _ in range(chance.randint(0, 2))
    ]
    items = [*(build.item for build in builds), *goods, None]
    lines = [
        {"item": item, "each_minor": chance.randint(1, 50_000), "tax_hundredths": rate}
        for item in items
        for rate in chance.sample([0, 500, 2000], chance.randint(1, 2))
    ]
    whole = chance.randint(1_000, 200_000)
    make_agreed(order, owner, now, whole, lines=lines)
    chance.shuffle(builds)
    paid = 0
    while builds:
        size = chance.randint(1, len(builds))
        inside, builds = builds[:size], builds[size:]
        parcel = make_parcel(inside, owner, now)
        while goods and chance.random() < 0.6:
            PackedGoods.objects.create(parcel=parcel, item=goods.pop())
        due = going(inside[0]).due
        assert [each.going.due for each in parcel_dues(parcel)] == [due]
        if due > 1:
            came(order, due - 1, owner, now)
            assert not any(settled(build) for build in inside)
        if due:
            came(order, 1 if due > 1 else due, owner, now)
        assert all(settled(build) for build in inside)
        paid += due
        leave(parcel, now)
    assert paid == whole


def test_goods_in_the_parcel_are_paid_with_it(owner: User, now: datetime) -> None:
    one, other = several(owner, now, 2)
    order = one.item.order
    parcel = make_parcel([one], owner, now)
    blade = goods_in(parcel, order, owner, now)
    lines = ((one.item, 30_000), (other.item, 10_000), (blade, 5_000))
    make_agreed(
        order, owner, now, 45_000, lines=[{"item": i, "each_minor": each} for i, each in lines]
    )
    assert (going(one).due, going(other).due) == (35_000, 10_000)
    came(order, 35_000, owner, now)
    leave(parcel, now)
    assert going(other).due == 10_000


def test_goods_of_another_order_are_paid_before_they_leave(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    parcel = make_parcel([build], owner, now)
    order = place_order(build.item.order.customer, token=uuid4(), by=owner, now=now)
    blade = goods_in(parcel, order, owner, now)
    make_agreed(order, owner, now, 5_000, lines=[{"item": blade, "each_minor": 5_000}])
    assert not settled(build)
    came(order, 5_000, owner, now)
    make_agreed(build.item.order, owner, now, 0)
    assert settled(build)


def test_two_parcels_that_wait_are_asked_each_for_its_own(owner: User, now: datetime) -> None:
    one, other = several(owner, now, 2)
    lines = [{"item": one.item, "each_minor": 30_000}, {"item": other.item, "each_minor": 10_000},
             {"each_minor": 1_400}]  # fmt: skip
    make_agreed(one.item.order, owner, now, 41_400, lines=lines)
    parcels = [make_parcel([one], owner, now), make_parcel([other], owner, now)]
    assert [parcel_dues(each)[0].going.due for each in parcels] == [30_000, 10_000]
    came(one.item.order, 30_000, owner, now)
    leave(parcels[0], now)
    assert parcel_dues(parcels[1])[0].going.due == 11_400


def test_tax_on_top_weighs_in_the_parts(owner: User, now: datetime) -> None:
    one, other = several(owner, now, 2)
    lines = [{"item": one.item, "each_minor": 10_000, "tax_hundredths": 2000},
             {"item": other.item, "each_minor": 10_000}]  # fmt: skip
    make_agreed(one.item.order, owner, now, 22_000, prices="without-tax", lines=lines)
    assert [part.going.own for part in parts_to_go(one.item.order)] == [12_000, 10_000]


def test_owner_reads_what_is_due_and_the_bench_does_not(
    owner_client: Client, bench_client: Client, house: House, owner: User, now: datetime
) -> None:
    one, other = several(owner, now, 2)
    lines = [{"item": one.item, "each_minor": 30_000}, {"item": other.item, "each_minor": 10_000}]
    make_agreed(one.item.order, owner, now, 40_000, lines=lines)
    parcel = make_parcel([one], owner, now)
    page, order = f"/parcel/{parcel.pk}/", f"/orders/{one.item.order.number}/"
    assert "£300.00 to come" in words(owner_client.get(page))
    for each in (order, f"{order}money/"):
        assert "£300.00 to come" in words(owner_client.get(each))
        assert "£100.00 to come" in words(owner_client.get(each))
    for each in (page, order):
        assert "£" not in words(bench_client.get(each))
