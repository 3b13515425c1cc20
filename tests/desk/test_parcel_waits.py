"""An order that is begun for a parcel on the intake: its sender, and the way back to it."""

import re
from datetime import datetime
from html import unescape
from typing import Any

import pytest
from django.test import Client

from builds.desk.forms.enquiries import facts_of_sender
from builds.intake import actions as intake
from builds.intake.models import Arrival
from builds.models import Build
from shop.models import Customer, User
from tests.desk.test_orders import form
from tests.makers import make_arrival, make_build, make_customer

pytestmark = pytest.mark.django_db
SENDER = "Tilda Marrow, 01632 960555, tilda@example.com, blue door"


@pytest.fixture
def parcel(owner: User, now: datetime) -> Arrival:
    found = make_arrival(owner, now)
    Arrival.objects.filter(pk=found.pk).update(sender=SENDER)
    found.refresh_from_db()
    return found


def order(client: Client, **more: Any) -> Any:
    return client.post("/orders/new/", form(**more))


def value(page: str, name: str) -> str:
    found = re.search(rf'<input[^>]*name="{name}"[^>]*', page)
    held = re.search('value="([^"]*)"', found[0]) if found else None
    return held[1] if held else ""


@pytest.mark.parametrize(
    ("sender", "called", "full_name", "phone", "note"),
    [
        (SENDER, "Tilda", "Tilda Marrow", "01632 960555", "blue door"),
        ("Tilda", "Tilda", "", "", ""),
        ("Tilda Marrow 01632 960555", "Tilda", "Tilda Marrow", "01632 960555", ""),
        ("+44 1632 960555", "", "", "+44 1632 960555", ""),
    ],
)
def test_what_stands_on_the_box_is_read(
    sender: str, called: str, full_name: str, phone: str, note: str
) -> None:
    facts = facts_of_sender(sender)
    assert (facts["called"], facts["full_name"]) == (called, full_name)
    assert (facts["phone"], facts["note"].strip(", ")) == (phone, note)


def test_sender_stands_in_the_form(bench_client: Client, parcel: Arrival) -> None:
    there = bench_client.get(f"/intake/{parcel.pk}/").content.decode()
    assert f"/orders/new/?arrival={parcel.pk}" in there
    page = unescape(bench_client.get(f"/orders/new/?arrival={parcel.pk}").content.decode())
    assert (value(page, "new-called"), value(page, "new-full_name")) == ("Tilda", "Tilda Marrow")
    assert value(page, "new-phone") == "01632 960555"
    assert value(page, "arrival") == str(parcel.pk)
    assert "The order leads back to it." in page


def test_sender_whom_we_know_is_chosen(
    bench_client: Client, parcel: Arrival, now: datetime
) -> None:
    known = make_customer(now, "Tilda")
    Customer.objects.filter(pk=known.pk).update(
        full_name="Tilda Marrow", name_folded="tilda marrow"
    )
    page = bench_client.get(f"/orders/new/?arrival={parcel.pk}").content.decode()
    (chosen,) = re.findall(r'<input[^>]*name="customer"[^>]*checked[^>]*>', page)
    assert f'value="{known.pk}"' in chosen


def test_order_leads_back_with_its_build_chosen(
    bench_client: Client, parcel: Arrival, owner: User, now: datetime
) -> None:
    make_build(owner, now)
    answer = order(bench_client, arrival=parcel.pk)
    build = Build.objects.latest("pk")
    back = f"/intake/{parcel.pk}/?build={build.number}#match"
    assert (answer.status_code, answer.headers["Location"]) == (303, back)
    page = bench_client.get(back).content.decode()
    assert re.search(rf'<option value="{build.pk}" selected>', page)
    assert "say that this parcel holds its hilt" in page


def test_refused_order_keeps_its_parcel(bench_client: Client, parcel: Arrival) -> None:
    answer = order(bench_client, arrival=parcel.pk, wanted="")
    assert answer.status_code == 422
    assert value(answer.content.decode(), "arrival") == str(parcel.pk)


def test_parcel_that_has_its_build_by_now_is_left_alone(
    bench_client: Client, parcel: Arrival, owner: User, now: datetime
) -> None:
    intake.match(parcel, make_build(owner, now), owner, now)
    answer = order(bench_client, arrival=parcel.pk)
    assert answer.headers["Location"].startswith("/orders/")


@pytest.mark.parametrize("arrival", ["x", "9" * 30, "0", ""])
def test_parcel_that_is_none_changes_nothing(bench_client: Client, arrival: str) -> None:
    assert bench_client.get(f"/orders/new/?arrival={arrival}").status_code == 200
