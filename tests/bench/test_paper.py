"""The page for the road: all on one page, and a packing slip for each parcel."""

from datetime import datetime

import pytest
from django.test import Client

from builds.intake import actions as intake
from builds.intake.models import Belonging
from builds.models import Build
from builds.progress.states import Kind, State
from shop.models import Customer, User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from tests.bench import stands
from tests.bench.pages import words
from tests.makers import check_cell, make_arrival, make_bare_parcel, make_build, make_parcel

URL = "/dispatch/paper/?day=2026-11-27"


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    made = stands.to_pack(owner, now)
    Customer.objects.update(address="7 Saltmarsh Row\nNorthwick")
    make_bare_parcel([made], owner, now)
    return made


def test_address_tray_and_slip_stand_on_one_page(bench_client: Client, build: Build) -> None:
    page = words(bench_client.get(URL))
    assert "Wren Aldous 7 Saltmarsh Row Northwick" in page
    assert "Packing slip for Wren" in page
    assert f"{build.tray} {build.hilt} {build}" in page


def test_page_needs_nothing_more_once_it_is_open(bench_client: Client, build: Build) -> None:
    page = bench_client.get(URL).content.decode()
    main = page[page.index("<main") : page.index("</main>")]
    assert "<img" not in main
    assert "hx-get" not in main


def test_belongings_that_go_back_stand_on_the_slip(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    arrival = make_arrival(owner, now)
    intake.match(arrival, build, owner, now)
    Belonging.objects.create(arrival=arrival, build=build, what="blade plug", quantity=2)
    Belonging.objects.create(
        arrival=arrival, build=build, what="old cell", kept_because="it is torn"
    )
    page = words(bench_client.get(URL))
    assert "blade plug × 2 yours, goes back" in page
    assert "old cell not in the box: it is torn" in page


def test_goods_of_the_order_stand_on_the_slip(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    item = add_item(build.item.order, ItemKind.GOODS, "spare charger", owner, now, 2)
    build.packed.get().parcel.goods.create(item=item)
    assert "2 × spare charger" in words(bench_client.get(URL))


@pytest.mark.parametrize(
    ("result", "says", "cares"),
    [
        ("good", "A lithium cell goes along.", True),
        ("none", "Cell: none came with it.", False),
        ("aside", "set aside as damaged: it is not in the box", False),
    ],
)
def test_slip_says_what_became_of_the_cell(
    bench_client: Client, build: Build, owner: User, now: datetime, result: str, says: str,
    cares: bool,
) -> None:  # fmt: skip
    check_cell(build, owner, now, result)
    page = words(bench_client.get(URL))
    assert says in page
    assert ("There is a lithium cell in this parcel." in page) is cares


def test_unchecked_cell_is_taken_for_one(bench_client: Client, build: Build) -> None:
    page = words(bench_client.get(URL))
    assert "Check before it leaves." in page
    assert "There is a lithium cell in this parcel." in page


def test_blade_alone_says_nothing_of_a_cell(
    bench_client: Client, owner: User, now: datetime
) -> None:
    blade = make_build(owner, now, State.DISPATCH, kind=Kind.BLADE)
    make_parcel([blade], owner, now)
    page = words(bench_client.get(URL))
    assert "Packing slip" in page
    assert "Cell:" not in page
    assert "There is a lithium cell in this parcel." not in page


def test_day_without_parcels_says_so(bench_client: Client, house: object) -> None:
    assert "Nothing is packed for this day" in words(bench_client.get(URL))


def test_what_has_left_is_not_on_it(bench_client: Client, build: Build) -> None:
    Build.objects.update(state=State.SENT, tray=None)
    parcel = build.packed.get().parcel
    parcel.left_at, parcel.left_by = parcel.closed_at, parcel.closed_by
    parcel.save()
    assert "Nothing is packed for this day" in words(bench_client.get(URL))
