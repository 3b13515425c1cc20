"""The stores and a parcel: box and goods set aside, taken as it leaves, free where it is opened."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from builds.dispatch import actions as dispatch
from builds.dispatch.actions.boxes import choose_box
from builds.dispatch.actions.contents import put_goods_in, take_goods_out
from builds.dispatch.actions.setting_aside import bring_back, take_along
from builds.dispatch.models import PackedGoods, Parcel
from builds.dispatch.refusals import Overtaken, Refused
from builds.models import Build
from builds.progress.states import State
from shop.history.models import Entry
from shop.models import Item, User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from shop.stores.models import Part, StockLevel
from tests.makers import at_once, make_build, make_customer, make_item, make_parcel, make_part

pytestmark = pytest.mark.django_db


def stock(part: Part) -> tuple[int, int]:
    """On hand and reserved."""
    level = StockLevel.objects.get(part=part)
    return level.on_hand, level.reserved


def goods_of(build: Build, owner: User, now: datetime, part: Part | None, many: int = 1) -> Item:
    """Goods on the order of a build."""
    order = build.item.order
    return add_item(order, ItemKind.GOODS, "a spare cell", owner, now, many, part)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """A build that waits in dispatch."""
    return make_build(owner, now, State.DISPATCH)


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    """A closed parcel around it."""
    return make_parcel([build], owner, now)


@pytest.fixture
def box(owner: User, now: datetime) -> Part:
    """A box, of which there are two."""
    return make_part(owner, now, 2, kind="box")


@pytest.fixture
def choose(parcel: Parcel, owner: User, now: datetime) -> Callable[..., Parcel]:
    """Choose a box for the parcel."""

    def chosen(box: Part | None, seen: Part | None = None) -> Parcel:
        return choose_box(parcel.pk, box, seen=seen.pk if seen else 0, by=owner, now=now)

    return chosen


def test_a_chosen_box_is_set_aside_once(choose: Any, box: Part) -> None:
    for _twice in range(2):
        choose(box)
    assert stock(box) == (2, 1)
    assert Entry.objects.filter(verb="box_chosen").count() == 1


def test_another_box_frees_the_one_before_and_what_was_measured_of_it(
    choose: Any, box: Part, parcel: Parcel, owner: User, now: datetime
) -> None:
    choose(box)
    Parcel.objects.filter(pk=parcel.pk).update(length_mm=410, gross_g=900)
    other = make_part(owner, now, 1, kind="box")
    found = choose(other, seen=box)
    assert (stock(box), stock(other)) == ((2, 0), (1, 1))
    assert (found.length_mm, found.gross_g) == (None, None)
    choose(None, seen=other)
    assert stock(other) == (1, 0)


def test_the_other_tablet_is_told_who_chose_first(
    choose: Any, box: Part, owner: User, now: datetime
) -> None:
    choose(box)
    with pytest.raises(Overtaken, match=owner.name):
        choose(make_part(owner, now, 1, kind="box"))


def test_a_box_that_is_not_there_is_refused(choose: Any, owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="free"):
        choose(make_part(owner, now, 0, kind="box"))
    with pytest.raises(Refused, match="no box"):
        choose(make_part(owner, now, 1, kind="cell"))


def test_goods_are_set_aside_and_taken_out_again(
    build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    cell = make_part(owner, now, 3, kind="cell")
    item = goods_of(build, owner, now, cell, many=2)
    for _twice in range(2):
        put_goods_in(parcel.pk, item.pk, by=owner, now=now)
    assert stock(cell) == (3, 2)
    for _twice in range(2):
        take_goods_out(parcel.pk, item.pk, by=owner, now=now)
    assert stock(cell) == (3, 0)
    put_goods_in(parcel.pk, item.pk, by=owner, now=now)
    assert stock(cell) == (3, 2)


def test_goods_that_lack_in_stores_are_refused_whole(
    build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    item = goods_of(build, owner, now, make_part(owner, now, 1, kind="cell"), many=2)
    with pytest.raises(Refused, match="free"):
        put_goods_in(parcel.pk, item.pk, by=owner, now=now)
    assert not PackedGoods.objects.exists()


def test_goods_for_another_address_are_refused(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    other = make_item(owner, now, build.item.order.customer).order
    other.ship_address = "4 Mill Row"
    other.save()
    item = add_item(other, ItemKind.GOODS, "a blade", owner, now)
    with pytest.raises(Refused, match="different addresses"):
        put_goods_in(parcel.pk, item.pk, by=owner, now=now)
    stranger = make_item(owner, now, make_customer(now, "Ash")).order
    item = add_item(stranger, ItemKind.GOODS, "a blade", owner, now)
    with pytest.raises(Refused, match="different people"):
        put_goods_in(parcel.pk, item.pk, by=owner, now=now)


def test_goods_of_another_order_of_theirs_may_come_along(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    order = make_item(owner, now, build.item.order.customer).order
    item = add_item(order, ItemKind.GOODS, "a blade", owner, now)
    assert put_goods_in(parcel.pk, item.pk, by=owner, now=now).item == item


def test_a_job_is_not_put_in_as_goods(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="Only goods"):
        put_goods_in(parcel.pk, build.item_id, by=owner, now=now)


def test_goods_lie_in_one_parcel(build: Build, parcel: Parcel, owner: User, now: datetime) -> None:
    item = goods_of(build, owner, now, None)
    put_goods_in(parcel.pk, item.pk, by=owner, now=now)
    with pytest.raises(Refused, match="another parcel"):
        put_goods_in(make_parcel([], owner, now).pk, item.pk, by=owner, now=now)


def test_an_opened_parcel_frees_all_of_it_and_takes_nothing_more(
    choose: Any, box: Part, build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    cell = make_part(owner, now, 3, kind="cell")
    item = goods_of(build, owner, now, cell)
    choose(box)
    put_goods_in(parcel.pk, item.pk, by=owner, now=now)
    for _twice in range(2):
        dispatch.open_parcel(parcel.pk, owner, now)
    assert (stock(box), stock(cell)) == ((2, 0), (3, 0))
    assert not PackedGoods.objects.filter(taken_out_at=None).exists()
    with pytest.raises(Refused, match="opened"):
        choose(box)


def test_stock_falls_as_the_parcel_leaves_and_is_back_where_it_did_not(
    choose: Any, box: Part, build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    cell = make_part(owner, now, 3, kind="cell")
    choose(box)
    put_goods_in(parcel.pk, goods_of(build, owner, now, cell, 2).pk, by=owner, now=now)
    for _again in range(2):
        left = dispatch.mark_left(parcel.pk, owner, now)
        take_along(left, by=owner, now=now)
        assert (stock(box), stock(cell)) == ((1, 0), (1, 0))
        dispatch.mark_not_left(parcel.pk, owner, now)
        assert (stock(box), stock(cell)) == ((2, 1), (3, 2))
    dispatch.mark_left(parcel.pk, owner, now)
    with pytest.raises(Refused, match="has left"):
        choose(None, seen=box)


@pytest.mark.django_db(transaction=True)
def test_the_last_box_goes_to_one_of_two_parcels(owner: User, now: datetime) -> None:
    box = make_part(owner, now, 1, kind="box")
    pks = [make_parcel([make_build(owner, now, State.DISPATCH)], owner, now).pk for _ in range(2)]
    answers = at_once(*(lambda pk=pk: choose_box(pk, box, seen=0, by=owner, now=now) for pk in pks))
    assert sorted(type(answer).__name__ for answer in answers) == ["Parcel", "Refused"]
    assert stock(box) == (1, 1)


def test_bringing_back_a_parcel_that_held_nothing_of_the_stores_does_nothing(
    parcel: Parcel, owner: User, now: datetime
) -> None:
    bring_back(parcel, now, by=owner, now=now)
    assert not StockLevel.objects.exists()


def test_what_to_order_sees_goods_that_were_sold(
    bench_client: Client, build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    cell = make_part(owner, now, 0, kind="cell", name="Cell A")
    goods_of(build, owner, now, cell, 3)
    body = bench_client.get(reverse("bench_reorder")).content.decode()
    assert "Cell A" in body
    assert "Ordered as goods" in body
    assert build.item.order.number in body
