"""The page of a parcel proposes a box, says what it weighs and what counts, by real measures."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.dispatch.actions.boxes import choose_box, choose_service, declare, note_size
from builds.dispatch.actions.contents import put_goods_in
from builds.dispatch.actions.services import add_service
from builds.dispatch.models import Parcel, Service
from builds.dispatch.queries import parcels
from builds.dispatch.queries.boxes import BoxSection, box_section
from builds.dispatch.queries.contents import contents
from builds.dispatch.queries.travel import travel, usual_service, worth
from builds.dispatch.states import Insured, Mode, Sides
from builds.models import Build
from builds.progress.states import State
from shop.house.models import House
from shop.models import User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from shop.stores.actions.parts import add_part
from shop.stores.actions.stock import receive
from shop.stores.models import Part
from tests.hilts.shapes import make_sections
from tests.makers import make_agreed, make_build, make_parcel, make_part

pytestmark = pytest.mark.django_db
GROUND = {
    "name": "Road", "carrier": "Fenland Parcels", "mode": Mode.ADR_ROAD, "divisor": 5000.0,
    "most_g": 2000, "covered_minor": 10_000,
}  # fmt: skip


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """A build in dispatch whose hilt is measured."""
    build = make_build(owner, now, State.DISPATCH)
    assert build.hilt
    make_sections(build.hilt, owner, now)
    return build


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    """A closed parcel around it."""
    return make_parcel([build], owner, now)


def make_box(owner: User, now: datetime, name: str, *sides: float, here: int = 1) -> Part:
    """A box by its inner sides, 8 mm more outside."""
    names = ("length", "width", "height")
    spec: dict[str, Any] = {f"inner_{n}_mm": s for n, s in zip(names, sides, strict=True)}
    spec |= {f"outer_{n}_mm": s + 8 for n, s in zip(names, sides, strict=True)}
    box = add_part(
        "box", {"name": name}, spec={**spec, "mass_g": 300.0}, stated={}, source="",
        token=uuid4(), by=owner, now=now,
    )  # fmt: skip
    if here:
        receive(box, here, token=uuid4(), by=owner, now=now)
    return box


def make_service(owner: User, now: datetime, **more: Any) -> Service:
    """A service by road."""
    return add_service({**GROUND, **more}, token=uuid4(), by=owner, now=now)


def look(parcel: Parcel, typed: dict[int, tuple[float, float]] | None = None) -> BoxSection:
    """What the page says of the box."""
    found = parcels().get(pk=parcel.pk)
    return box_section(found, contents(found), House.objects.get(), typed or {})


def test_the_smallest_in_stock_that_takes_the_hilt_is_proposed(
    parcel: Parcel, owner: User, now: datetime
) -> None:
    make_box(owner, now, "huge", 1200, 300, 300)
    make_box(owner, now, "short", 200, 120, 120)
    right = make_box(owner, now, "right", 450, 130, 130)
    make_box(owner, now, "none left", 440, 125, 125, here=0)
    found = look(parcel)
    assert found.smallest
    assert found.smallest.part == right
    assert [(each.part.name, each.why_not[-16:]) for each in found.too_small] == [
        ("short", "; it has 200 mm."),
    ]


def test_a_blade_beside_the_hilt_wants_a_longer_box(
    build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    make_box(owner, now, "hilt", 450, 130, 130)
    make_box(owner, now, "long", 1000, 180, 130)
    blade = make_part(owner, now, 1, kind="blade")
    item = add_item(build.item.order, ItemKind.GOODS, "a blade", owner, now, 1, blade)
    put_goods_in(parcel.pk, item.pk, by=owner, now=now)
    found = look(parcel)
    assert found.smallest
    assert found.smallest.part.name == "long"
    assert "914" not in found.smallest.why_not


def test_a_hilt_that_nobody_measured_is_asked_for(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    parcel = make_parcel([build], owner, now)
    make_box(owner, now, "right", 450, 130, 130)
    found = look(parcel)
    assert [row.build for row in found.to_measure] == [build]
    assert found.smallest is None
    typed = look(parcel, {build.pk: (300.0, 40.0)})
    assert typed.smallest
    assert typed.smallest.part.name == "right"


def test_the_weight_is_an_estimate_until_it_is_weighed(
    parcel: Parcel, owner: User, now: datetime
) -> None:
    box = make_box(owner, now, "right", 450, 130, 130)
    assert look(parcel).weight.real_g is None
    choose_box(parcel.pk, box, seen=0, by=owner, now=now)
    guess = look(parcel).weight
    assert guess.is_estimate
    assert guess.real_g
    assert guess.real_g > 300
    assert guess.sides_mm == (458, 138, 138)
    note_size(parcel.pk, (500.0, 150.0, 140.0), 1234.4, by=owner, now=now)
    weighed = look(parcel).weight
    assert (weighed.is_estimate, weighed.real_g, weighed.sides_mm) == (
        False, 1234, (500, 150, 140),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("service", "counts", "written"),
    [
        ({}, 2100, "2.10\u202fkg"),  # 500 · 150 · 140 mm: 10500 cm³ / 5000
        ({"divisor": None}, 1500, ""),
        ({"divisor": 10_000.0}, 1500, "1.05\u202fkg"),
        ({"weight_step": 0.5}, 2500, "2.50\u202fkg"),
        ({"volume_above": 20_000.0}, 1500, ""),
        ({"sides": Sides.IN_LB, "divisor": 139.0, "rounds_sides_up": True},
         round(20 * 6 * 6 / 139 * 453.59237), "5.18\u202flb"),
    ],
)  # fmt: skip
def test_the_size_counts_where_it_is_more_than_the_weight(
    parcel: Parcel, owner: User, now: datetime, service: dict[str, Any], counts: int, written: str
) -> None:
    choose_service(parcel.pk, make_service(owner, now, **service), by=owner, now=now)
    note_size(parcel.pk, (500.0, 150.0, 140.0), 1500, by=owner, now=now)
    weight = look(parcel).weight
    assert (round(weight.charged_g or 0), weight.dimensional) == (counts, written)


def test_a_parcel_over_the_heaviest_is_said(parcel: Parcel, owner: User, now: datetime) -> None:
    choose_service(parcel.pk, make_service(owner, now), by=owner, now=now)
    note_size(parcel.pk, (None, None, None), 2350, by=owner, now=now)
    found = parcels().get(pk=parcel.pk)
    assert travel(found, look(parcel).weight).too_heavy_by == "0.35\u202fkg"


def test_the_service_of_the_last_parcel_is_taken_again(
    build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    to = build.item.order.consignee
    make_service(owner, now)
    other = make_service(owner, now, name="Air", mode=Mode.AIR)
    assert usual_service(to) is None
    choose_service(parcel.pk, other, by=owner, now=now)
    assert usual_service(to) == other


def test_the_only_service_is_the_usual_one(build: Build, owner: User, now: datetime) -> None:
    one = make_service(owner, now)
    assert usual_service(build.item.order.consignee) == one


def test_the_value_is_what_was_agreed_until_somebody_declares_it(
    build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    line = {"item": build.item, "each_minor": 45_000}
    make_agreed(build.item.order, owner, now, 45_000, lines=[line])
    choose_service(parcel.pk, make_service(owner, now), by=owner, now=now)
    agreed = worth(parcels().get(pk=parcel.pk))
    assert (agreed.minor, agreed.is_agreed, agreed.is_not_covered) == (45_000, True, True)
    declare(parcel.pk, 9_000, Insured.CARRIER, by=owner, now=now)
    declared = worth(parcels().get(pk=parcel.pk))
    assert (declared.minor, declared.is_agreed, declared.is_not_covered) == (9_000, False, False)


def test_the_page_takes_a_box_weighs_it_and_says_so(
    bench_client: Client, parcel: Parcel, owner: User, now: datetime
) -> None:
    box = make_box(owner, now, "right", 450, 130, 130)
    page = reverse("dispatch_parcel", args=[parcel.pk])
    assert "Take this box" in bench_client.get(page).content.decode()
    bench_client.post(
        reverse("dispatch_parcel_box", args=[parcel.pk]), {"box": box.pk, "box_seen": 0}
    )
    typed = {"gross_g": "1.24 kg", "length_mm": "", "width_mm": "", "height_mm": ""}
    bench_client.post(reverse("dispatch_parcel_size", args=[parcel.pk]), typed)
    body = bench_client.get(page).content.decode()
    assert "1.24\u202fkg" in body
    assert "weighed, closed" in body


def test_what_is_no_weight_is_said_and_kept(bench_client: Client, parcel: Parcel) -> None:
    typed = {"gross_g": "heavy", "length_mm": "400"}
    answer = bench_client.post(reverse("dispatch_parcel_size", args=[parcel.pk]), typed)
    body = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="heavy"' in body
    assert "Measure this side too" in body


def test_sizes_typed_for_a_look_are_read_or_said_to_be_none(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    page = reverse("dispatch_parcel", args=[make_parcel([build], owner, now).pk])
    make_box(owner, now, "right", 450, 130, 130)
    wrong = bench_client.get(page, {f"long-{build.pk}": "long", f"across-{build.pk}": "40"})
    assert "Type a length such as" in wrong.content.decode()
    right = bench_client.get(page, {f"long-{build.pk}": "30 cm", f"across-{build.pk}": "40"})
    assert "Take this box" in right.content.decode()


def test_the_bench_sees_no_value(
    bench_client: Client, owner_client: Client, parcel: Parcel, owner: User, now: datetime
) -> None:
    declare(parcel.pk, 98_700, Insured.CARRIER, by=owner, now=now)
    page = reverse("dispatch_parcel", args=[parcel.pk])
    assert "987.00" in owner_client.get(page).content.decode()
    assert "987.00" not in bench_client.get(page).content.decode()
    answer = bench_client.post(reverse("dispatch_parcel_worth", args=[parcel.pk]))
    assert answer.status_code == 403


def test_the_other_tablet_is_told_of_the_box_chosen_meanwhile(
    bench_client: Client, parcel: Parcel, owner: User, now: datetime
) -> None:
    box, other = (make_box(owner, now, name, 450, 130, 130) for name in ("a", "b"))
    choose_box(parcel.pk, box, seen=0, by=owner, now=now)
    answer = bench_client.post(
        reverse("dispatch_parcel_box", args=[parcel.pk]),
        {"box": other.pk, "box_seen": 0},
        follow=True,
    )
    assert "chose another box meanwhile" in answer.content.decode()


def test_goods_go_in_and_out_on_the_page(
    bench_client: Client, build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    item = add_item(build.item.order, ItemKind.GOODS, "a spare cell", owner, now)
    page = reverse("dispatch_parcel", args=[parcel.pk])
    assert "May go along" in bench_client.get(page).content.decode()
    bench_client.post(reverse("dispatch_parcel_goods_in", args=[parcel.pk, item.pk]))
    assert "Take out" in bench_client.get(page).content.decode()
    bench_client.post(reverse("dispatch_parcel_goods_out", args=[parcel.pk, item.pk]))
    assert "Put in" in bench_client.get(page).content.decode()


def test_the_page_says_what_of_the_order_stays_behind(
    bench_client: Client, build: Build, parcel: Parcel, owner: User, now: datetime
) -> None:
    other = make_build(owner, now, State.INSTALL, customer=build.item.order.customer)
    other.item.order = build.item.order
    other.item.save()
    body = bench_client.get(reverse("dispatch_parcel", args=[parcel.pk])).content.decode()
    assert "stays behind" in body
    assert str(other.hilt) in body
