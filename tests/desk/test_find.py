"""The one box: numbers, trays, names and tracking numbers."""

from datetime import date, datetime
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.dispatch.models import Packed, Parcel
from builds.intake.models import Arrival, Match
from builds.progress.actions import put
from builds.progress.models import Build, Tray
from shop.models import Customer, User
from shop.people.actions import add_customer
from tests.desk.conftest import Booker, build_on
from tests.makers import make_part


def found(client: Client, text: str) -> str:
    return client.get("/find/", {"q": text}).content.decode()


@pytest.fixture
def lantern(booked: Booker) -> Build:
    """Build 0142, so that its number is no tray's."""
    build = build_on(booked("Ninth Lantern"))
    Build.objects.filter(pk=build.pk).update(number=142)
    build.refresh_from_db()
    return build


@pytest.mark.parametrize("text", ["142", "0142", "#142", " 142 "])
def test_a_build_number_opens_its_sheet(owner_client: Client, lantern: Build, text: str) -> None:
    answer = owner_client.get("/find/", {"q": text})
    assert (answer.status_code, answer["Location"]) == (302, "/build/142/")


@pytest.mark.parametrize("text", ["tray 7", "Tray 07", "7", "07"])
def test_a_tray_opens_the_build_in_it(
    owner_client: Client, lantern: Build, owner: User, now: datetime, text: str
) -> None:
    put(lantern.pk, tray=Tray.objects.create(number=7), place=None, by=owner, now=now)
    assert owner_client.get("/find/", {"q": text})["Location"] == "/build/142/"


def test_a_number_of_a_build_and_of_a_tray_opens_neither(
    owner_client: Client, lantern: Build, booked: Booker, owner: User, now: datetime
) -> None:
    put(lantern.pk, tray=Tray.objects.create(number=7), place=None, by=owner, now=now)
    other = build_on(booked("Copperfen"))
    Build.objects.filter(pk=other.pk).update(number=7)
    page = found(owner_client, "7")
    assert "Ninth Lantern" in page
    assert "Copperfen" in page


@pytest.mark.parametrize("text", ["P0001", "p1", " P0001 "])
def test_a_label_opens_its_part(
    bench_client: Client, owner: User, now: datetime, text: str
) -> None:
    part = make_part(owner, now)
    answer = bench_client.get("/find/", {"q": text})
    assert (answer.status_code, answer["Location"]) == (302, f"/stores/parts/{part.pk}/")


def test_a_part_is_found_by_how_its_name_begins(
    bench_client: Client, owner: User, now: datetime
) -> None:
    make_part(owner, now, name="Speaker 28")
    make_part(owner, now, name="Cell 18 × 65", kind="cell")
    page = found(bench_client, "spea")
    assert "Speaker 28" in page
    assert "Cell 18" not in page


def test_an_ended_build_is_no_longer_found_by_its_tray(
    owner_client: Client, lantern: Build
) -> None:
    Tray.objects.create(number=7)
    Build.objects.filter(pk=lantern.pk).update(state="sent")
    assert "Nothing for" in found(owner_client, "tray 7")


@pytest.mark.parametrize("text", ["mau", "Maud F", "FERRIS", "maud.ferris@"])
def test_a_customer_is_found_by_the_beginning_with_their_open_builds(
    owner_client: Client, lantern: Build, maud: Customer, text: str
) -> None:
    page = found(owner_client, text)
    assert f"/customers/{maud.pk}/" in page
    assert "/build/142/" in page


@pytest.mark.parametrize("text", ["ninth", "NINTH LAN"])
def test_a_hilt_is_found_by_the_beginning_of_its_name(
    owner_client: Client, lantern: Build, text: str
) -> None:
    assert "/build/142/" in found(owner_client, text)


def test_the_middle_of_a_name_finds_nothing(owner_client: Client, lantern: Build) -> None:
    page = found(owner_client, "antern")
    assert "Nothing for" in page
    assert "a tray: tray 7" in page


def test_an_order_is_found_by_its_number(owner_client: Client, booked: Booker) -> None:
    order = booked()
    assert f"/orders/{order.number}/" in found(owner_client, order.number)


def test_a_parcel_that_came_is_found_by_tracking(
    owner_client: Client, lantern: Build, owner: User, now: datetime
) -> None:
    came = Arrival.objects.create(
        token=uuid4(), came_at=now, received_by=owner, tracking="EX960114GB", box="sound"
    )
    Match.objects.create(arrival=came, build=lantern, at=now, by=owner)
    page = found(owner_client, "ex960 114 gb")
    assert f"/intake/{came.pk}/" in page
    assert "/build/142/" in page


def test_a_parcel_that_left_is_found_by_tracking(
    owner_client: Client, lantern: Build, owner: User, now: datetime
) -> None:
    parcel = Parcel.objects.create(
        token=uuid4(), day=date(2026, 11, 27), closed_at=now, closed_by=owner, tracking="OUT 77"
    )
    Packed.objects.create(parcel=parcel, build=lantern)
    assert "/build/142/" in found(owner_client, "out 77")


@pytest.mark.parametrize("text", ["%", "_", "\x00", "\U0010ffff", "9" * 40, "'; --", "x" * 5000])
def test_odd_signs_find_nothing_and_break_nothing(
    owner_client: Client, lantern: Build, text: str
) -> None:
    assert owner_client.get("/find/", {"q": text}).status_code == 200


def test_an_empty_box_says_what_can_be_found(owner_client: Client) -> None:
    assert "a hilt or a blade by its name" in found(owner_client, "")


def test_stranger_finds_nothing(stranger: Client, lantern: Build) -> None:
    assert stranger.get("/find/", {"q": "142"})["Location"].startswith("/sign-in/")


def test_finding_asks_as_much_in_a_full_shop_as_in_an_empty_one(
    owner_client: Client, booked: Booker, owner: User, now: datetime
) -> None:
    booked("Hilt one")
    with CaptureQueriesContext(connection) as few:
        found(owner_client, "hi")
    for nth in range(10):
        facts = {"called": f"Hidde {nth}", "full_name": f"Hidde {nth}"}
        booked(f"Hilt {nth}", customer=add_customer(facts, owner, now))
    with CaptureQueriesContext(connection) as many:
        found(owner_client, "hi")
    assert len(many) == len(few)
