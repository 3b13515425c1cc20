"""The packing slip: what is in the box, what came back, how to wake and charge it; no prices."""

from datetime import datetime
from io import BytesIO

import pytest
from django.test import Client
from pypdf import PdfReader

from builds.dispatch.models import Parcel
from builds.dispatch.states import Stowage
from builds.intake import actions as intake
from builds.intake.models import Belonging
from builds.models import Build
from shop.models import Customer, House, User
from tests.bench import stands
from tests.makers import make_agreed, make_arrival, make_bare_parcel, stow

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime, house: object) -> Build:
    made = stands.to_pack(owner, now)
    arrival = make_arrival(owner, now)
    intake.match(arrival, made, owner, now)
    Belonging.objects.create(arrival=arrival, build=made, what="blade plug", quantity=2)
    Belonging.objects.create(arrival=arrival, build=made, what="old cell", kept_because="torn")
    Customer.objects.update(address="7 Saltmarsh Row\nNorthwick", country="GB")
    return made


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    return make_bare_parcel([build], owner, now)


def slip(client: Client, parcel: Parcel, more: str = "") -> str:
    """The words of the slip, in one line."""
    reply = client.get(f"/parcel/{parcel.pk}/slip/{more}")
    assert reply["Content-Type"] == "application/pdf"
    pages = PdfReader(BytesIO(reply.content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_slip_says_what_is_in_it_and_what_is_not(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    said = slip(bench_client, parcel)
    assert f"{build.hilt}" in said
    assert "blade plug × 2 (yours)" in said
    assert "old cell: not in the box, torn" in said
    assert "Wren Aldous 7 Saltmarsh Row Northwick" in said


@pytest.mark.parametrize(
    ("stowage", "wake"),
    [
        (Stowage.INSTALLED, "Kill switch or key to on"),
        (Stowage.PACKED_WITH, "Take the caps off the cell"),
        (Stowage.LEFT_OUT, "Fit the cell that the booklet names"),
    ],
)
def test_slip_says_how_to_wake_it(
    bench_client: Client, parcel: Parcel, owner: User, now: datetime, stowage: str, wake: str
) -> None:
    stow(parcel, owner, now, stowage)
    said = slip(bench_client, parcel)
    assert f"Wake it: {wake}" in said
    assert "Charge it: Cell out" in said
    assert ("There is a lithium cell" in said) is (stowage != Stowage.LEFT_OUT)


def test_prices_stand_on_it_for_the_owner_who_wants_them(
    bench_client: Client, owner_client: Client, parcel: Parcel, build: Build, owner: User,
    now: datetime,
) -> None:  # fmt: skip
    page, button = f"/parcel/{parcel.pk}/", f"/parcel/{parcel.pk}/slip/prices/"
    assert button not in owner_client.get(page).content.decode()  # no price is known yet
    make_agreed(build.item.order, owner, now, lines=[{"each_minor": 45_000, "item": build.item}])
    assert "450.00" not in slip(owner_client, parcel)
    assert "450.00" in slip(owner_client, parcel, "prices/")
    assert button in owner_client.get(page).content.decode()
    assert button not in bench_client.get(page).content.decode()
    assert bench_client.get(button).status_code == 403


@pytest.mark.parametrize(("country", "width"), [("GB", 595), ("US", 612)])
def test_slip_is_cut_to_the_countrys_paper(
    bench_client: Client, parcel: Parcel, country: str, width: int
) -> None:
    House.objects.update(country=country)
    made = bench_client.get(f"/parcel/{parcel.pk}/slip/").content
    assert round(float(PdfReader(BytesIO(made)).pages[0].mediabox.width)) == width


def test_same_parcel_gives_the_same_bytes(bench_client: Client, parcel: Parcel) -> None:
    first, second = (bench_client.get(f"/parcel/{parcel.pk}/slip/").content for _ in range(2))
    assert first == second
