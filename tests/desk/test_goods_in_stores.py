"""Goods of an order that stand in stores as a part."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.desk.actions.orders import Refused, say_part
from builds.dispatch.models import PackedGoods
from shop.models import Item, User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from tests.makers import make_item, make_parcel, make_part

pytestmark = pytest.mark.django_db


def _goods(owner: User, now: datetime) -> Item:
    return add_item(make_item(owner, now).order, ItemKind.GOODS, "a spare cell", owner, now)


def test_goods_are_added_with_the_part_that_they_are(
    bench_client: Client, owner: User, now: datetime
) -> None:
    order, part = make_item(owner, now).order, make_part(owner, now, 3, kind="cell", name="Cell A")
    typed = {"wanted": "a spare cell", "quantity": 2, "part": "cell a", "token": uuid4()}
    answer = bench_client.post(reverse("desk_order_goods", args=[order.number]), typed)
    assert answer.status_code == 303
    item = Item.objects.get(kind=ItemKind.GOODS)
    assert (item.part, item.quantity) == (part, 2)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("nothing such", "No part in stores is called so"),
        ("Cell", "Which of these? Type its label: Cell A (P0001), Cell B (P0002)"),
        ("Box", "No part in stores is called so"),
        ("P0003", "is not sold by the piece"),
        ("P0999", "No part in stores is called so"),
    ],
)
def test_what_is_no_part_to_sell_is_said_beside_the_field(
    bench_client: Client, owner: User, now: datetime, typed: str, said: str
) -> None:
    goods = _goods(owner, now)
    for kind, name in (("cell", "Cell A"), ("cell", "Cell B"), ("box", "Box")):
        make_part(owner, now, kind=kind, name=name)
    page = reverse("desk_order_goods_part", args=[goods.order.number, goods.pk])
    answer = bench_client.post(page, {"part": typed})
    assert answer.status_code == 422
    body = answer.content.decode()
    assert said in body
    assert f'value="{typed}"' in body


def test_a_label_is_a_part_too_and_nothing_is_none(
    bench_client: Client, owner: User, now: datetime
) -> None:
    goods, part = _goods(owner, now), make_part(owner, now, kind="cell")
    page = reverse("desk_order_goods_part", args=[goods.order.number, goods.pk])
    assert bench_client.get(page).status_code == 200
    bench_client.post(page, {"part": part.label})
    goods.refresh_from_db()
    assert goods.part == part
    bench_client.post(page, {"part": ""})
    goods.refresh_from_db()
    assert goods.part is None


def test_packed_goods_stay_the_part_that_they_are(owner: User, now: datetime) -> None:
    goods, part = _goods(owner, now), make_part(owner, now, kind="cell")
    PackedGoods.objects.create(parcel=make_parcel([], owner, now), item=goods)
    with pytest.raises(Refused, match="lie in a parcel"):
        say_part(goods, part, by=owner, now=now)


def test_a_job_is_no_goods(bench_client: Client, owner: User, now: datetime) -> None:
    item = make_item(owner, now)
    page = reverse("desk_order_goods_part", args=[item.order.number, item.pk])
    assert bench_client.get(page).status_code == 404
