"""The pages of blades, and the blade on an order, on a build's sheet, on a customer's page."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.bench.queries.blades import blade_shown
from builds.desk.queries.find import find
from builds.hilts.actions import measure
from builds.hilts.actions.blades import add_blade, seen_blade
from builds.hilts.models import Blade, Hilt
from builds.hilts.states import MeasuredThing
from builds.models import Build
from builds.progress.blades import tie_blade
from builds.progress.states import Kind, State
from shop.models import Customer, User
from tests.desk.test_orders import NEW, form
from tests.hilts.shapes import make_sections, mm
from tests.makers import make_build, make_customer, make_part


@pytest.fixture
def customer(owner: User, now: datetime) -> Customer:
    return make_customer(now)


@pytest.fixture
def blade(customer: Customer, owner: User, now: datetime) -> Blade:
    return add_blade(customer, {"name": "Long blue"}, token=uuid4(), by=owner, now=now)


def text(client: Client, address: str) -> str:
    return client.get(address).content.decode()


def test_blade_only_order_writes_its_blade_down(owner_client: Client) -> None:
    sent = form(kind="blade", hilt_name="", blade_name="Long blue")
    assert owner_client.post(NEW, sent).status_code == 303
    build = Build.objects.get()
    assert (build.kind, build.blade and build.blade.name) == (Kind.BLADE, "Long blue")


def test_blade_only_order_without_a_name_still_has_its_blade(owner_client: Client) -> None:
    owner_client.post(NEW, form(kind="blade", hilt_name=""))
    build = Build.objects.get()
    assert build.blade
    assert build.blade.name == f"Blade of order {build.item.order.number}"


def test_known_blade_is_chosen_for_a_job(
    blade: Blade, customer: Customer, owner_client: Client
) -> None:
    sent = form(customer=customer.pk, kind="blade", hilt_name="", blade=blade.pk)
    owner_client.post(NEW, sent)
    assert Build.objects.get().blade == blade
    assert Blade.objects.count() == 1


def test_full_job_without_a_blade_has_none(owner_client: Client) -> None:
    owner_client.post(NEW, form())
    assert Build.objects.get().blade is None


def test_bench_hand_writes_counts_tries_and_ends_a_blade(
    customer: Customer, owner: User, bench_client: Client, now: datetime
) -> None:
    part = make_part(owner, now, kind="blade")
    hilt = Hilt.objects.create(customer=customer, name="Copperfen", since=now)
    new = reverse("desk_blade_new")
    assert "Copperfen" not in text(bench_client, f"{new}?customer={customer.pk}")
    values: dict[str, Any] = {
        "customer": customer.pk, "name": "Long blue", "part_id": part.pk, "token": uuid4(),
        "length_mm": "36 in",
    }  # fmt: skip
    assert bench_client.post(new, values).status_code == 303
    blade = Blade.objects.get()
    assert (blade.diameter_mm, blade.length_mm) == (25.4, 914.4)
    page = reverse("desk_blade", args=[blade.pk])
    assert "as its part says; not counted" in text(bench_client, page)
    for name, deed, value in (
        ("count", "count", {"pixels": 264}),
        ("try", "try", {"hilt": hilt.pk}),
        ("gone", "gone", {"because": "sold on"}),
    ):
        blade.refresh_from_db()
        said = {"seen": seen_blade(blade), **value}
        data = {f"{name}-{key}": each for key, each in said.items()}
        answer = bench_client.post(reverse(f"desk_blade_{deed}", args=[blade.pk]), data)
        assert answer.status_code == 303
    shown = text(bench_client, page)
    for words in ("counted by Jory", "Copperfen", "sold on"):
        assert words in shown


def test_what_is_too_large_comes_back_as_it_was_typed(
    customer: Customer, owner_client: Client
) -> None:
    values = {"customer": customer.pk, "name": "Long", "length_mm": "91400", "token": uuid4()}
    answer = owner_client.post(reverse("desk_blade_new"), values)
    assert answer.status_code == 422
    assert "No blade is so large" in answer.content.decode()
    assert 'value="91400"' in answer.content.decode()


def test_other_tablet_sees_who_changed_the_blade(
    blade: Blade, owner_client: Client, bench_client: Client
) -> None:
    said = {"count-seen": seen_blade(blade), "count-pixels": 264}
    address = reverse("desk_blade_count", args=[blade.pk])
    bench_client.post(address, said)
    answer = owner_client.post(address, {**said, "count-pixels": 132})
    assert answer.status_code == 422
    assert "Jory changed this first" in answer.content.decode()


def test_customers_page_and_search_show_blades(
    blade: Blade, customer: Customer, owner_client: Client
) -> None:
    assert "Long blue" in text(owner_client, reverse("desk_customer", args=[customer.pk]))
    assert find("long").blades == [blade]
    assert "Long blue" in text(owner_client, reverse("desk_find") + "?q=long")


def test_sheet_of_a_blade_alone_asks_for_it_and_ties_it(
    blade: Blade, customer: Customer, owner: User, owner_client: Client, now: datetime
) -> None:
    build = make_build(owner, now, State.INTAKE, kind=Kind.BLADE, customer=customer)
    sheet = reverse("bench_sheet", args=[build.number])
    assert "Which blade is it?" in text(owner_client, sheet)
    tie = reverse("bench_blade", args=[build.number])
    owner_client.post(tie, {"blade": blade.pk, "seen": ""})
    build.refresh_from_db()
    assert build.blade == blade
    assert "not counted yet" in text(owner_client, sheet)
    stale = owner_client.post(tie, {"blade": "", "seen": ""}, follow=True)
    assert "was first" in stale.content.decode()


def test_new_blade_from_a_sheet_is_tied_to_its_build(
    customer: Customer, owner: User, owner_client: Client, now: datetime
) -> None:
    build = make_build(owner, now, State.INSTALL, customer=customer)
    values = {"build": build.number, "name": "Goes along", "token": uuid4()}
    for _tap in range(2):
        owner_client.post(reverse("desk_blade_new"), values)
    build.refresh_from_db()
    assert (build.blade, Blade.objects.count()) == (Blade.objects.get(), 1)


def test_new_blade_from_a_stale_page_takes_no_other_tablets_place(
    customer: Customer, owner: User, owner_client: Client, now: datetime
) -> None:
    build = make_build(owner, now, State.INSTALL, customer=customer)
    said = {"build": build.number, "seen": "", "diameter_mm": "25.4"}
    owner_client.post("/blades/new/", {**said, "name": "first", "token": uuid4()})
    answer = owner_client.post("/blades/new/", {**said, "name": "second", "token": uuid4()})
    assert answer.status_code == 422
    build.refresh_from_db()
    assert build.blade is not None
    assert build.blade.name == "first"
    assert not Blade.objects.filter(name="second").exists()


@pytest.mark.parametrize(("diameter", "too_thick"), [(25.4, False), (60.0, True)])
def test_sheet_says_how_a_blade_sits_in_its_socket(
    diameter: float,
    too_thick: bool,
    customer: Customer,
    owner: User,
    now: datetime,
) -> None:
    build = make_build(owner, now, State.INSTALL, customer=customer)
    assert build.hilt
    emitter = make_sections(build.hilt, owner, now)[0]
    readings = {MeasuredThing.SOCKET_BORE: mm(25.6, 25.6)}
    measure(emitter, readings, basis="measured", token=uuid4(), by=owner, now=now)
    values = {"name": "Long", "diameter_mm": diameter}
    own = add_blade(customer, values, token=uuid4(), by=owner, now=now)
    tied = tie_blade(build.pk, own, seen=None, by=owner, now=now)
    shown = blade_shown(tied, "mm")
    assert shown.is_too_thick is too_thick
    assert ("Too thick" if too_thick else "of play") in shown.play


def test_stranger_is_led_to_the_sign_in(blade: Blade, stranger: Client) -> None:
    assert stranger.get(reverse("desk_blade", args=[blade.pk])).status_code == 302
