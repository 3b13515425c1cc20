"""To whom a parcel goes: the customer, or another address that the order names."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.desk.actions.orders import Refused as OrderRefused
from builds.desk.actions.orders import ship_to
from builds.dispatch import actions as dispatch
from builds.dispatch.actions import Refused
from builds.models import Build
from builds.progress.states import State
from shop.models import User
from shop.orders.models import Order
from tests.makers import FRIDAY, make_build, make_customer, make_parcel

pytestmark = pytest.mark.django_db
GIFT = {"ship_name": "Ash Underhill", "ship_address": "4 Mill Row\nExampleton", "ship_country": ""}


def _order(build: Build) -> Order:
    return Order.objects.select_related("customer").get(items__build=build)


def test_without_another_address_it_goes_to_the_customer(owner: User, now: datetime) -> None:
    customer = make_customer(now)
    customer.address, customer.country, customer.phone = "1 High St", "GB", "01632 960001"
    customer.save()
    to = _order(make_build(owner, now, customer=customer)).consignee
    assert (to.full_name, to.address, to.country, to.phone) == (
        "Wren Aldous", "1 High St", "GB", "01632 960001",
    )  # fmt: skip
    assert not to.is_elsewhere


def test_another_address_counts_with_its_name(owner: User, now: datetime) -> None:
    order = _order(make_build(owner, now))
    ship_to(order, GIFT, by=owner, now=now)
    to = Order.objects.get(pk=order.pk).consignee
    assert (to.full_name, to.address, to.phone) == ("Ash Underhill", GIFT["ship_address"], "")
    assert to.is_elsewhere


def test_the_same_address_written_otherwise_is_one_consignee(owner: User, now: datetime) -> None:
    customer = make_customer(now)
    orders = [_order(make_build(owner, now, customer=customer)) for _ in range(2)]
    ship_to(orders[0], GIFT, by=owner, now=now)
    ship_to(orders[1], {**GIFT, "ship_address": "4 mill row \n\nexampleton"}, by=owner, now=now)
    assert len({Order.objects.get(pk=order.pk).consignee for order in orders}) == 1


def test_two_addresses_of_one_customer_never_share_a_parcel(owner: User, now: datetime) -> None:
    customer = make_customer(now)
    builds = [make_build(owner, now, State.DISPATCH, customer=customer) for _ in range(2)]
    ship_to(_order(builds[0]), GIFT, by=owner, now=now)
    with pytest.raises(Refused, match="different addresses"):
        dispatch.close_parcel(builds, day=FRIDAY, token=uuid4(), by=owner, now=now)


def test_the_address_of_an_order_packed_with_another_stays(owner: User, now: datetime) -> None:
    customer = make_customer(now)
    builds = [make_build(owner, now, State.DISPATCH, customer=customer) for _ in range(2)]
    parcel = make_parcel(builds, owner, now)
    with pytest.raises(OrderRefused, match="with another order"):
        ship_to(_order(builds[0]), GIFT, by=owner, now=now)
    dispatch.open_parcel(parcel.pk, owner, now)
    ship_to(_order(builds[0]), GIFT, by=owner, now=now)
    assert _order(builds[0]).ship_name == "Ash Underhill"


def test_the_address_of_an_order_packed_alone_may_change(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    make_parcel([build], owner, now)
    ship_to(_order(build), GIFT, by=owner, now=now)
    assert _order(build).ship_name == "Ash Underhill"


def test_the_order_page_keeps_the_address_and_every_page_shows_it(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    order = _order(build)
    answer = bench_client.post(reverse("desk_order_ship", args=[order.number]), GIFT)
    assert answer.status_code == 303
    parcel = make_parcel([build], owner, now)
    for page in (
        reverse("desk_order", args=[order.number]),
        reverse("bench_dispatch") + f"?day={FRIDAY}",
        reverse("bench_paper") + f"?day={FRIDAY}",
        reverse("dispatch_parcel", args=[parcel.pk]),
    ):
        assert "Ash Underhill" in bench_client.get(page).content.decode(), page


def test_a_name_without_an_address_is_asked_about_and_kept(
    bench_client: Client, owner: User, now: datetime
) -> None:
    order = _order(make_build(owner, now))
    typed = {"ship_name": "Ash Underhill"}
    answer = bench_client.post(reverse("desk_order_ship", args=[order.number]), typed)
    assert answer.status_code == 422
    assert "Which address?" in answer.content.decode()
    assert "Ash Underhill" in answer.content.decode()
