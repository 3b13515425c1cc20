"""The booklet on a customer's pages: once the hilt has left, the published one, and no other."""

from datetime import datetime
from io import BytesIO
from uuid import uuid4

import pytest
import zxingcpp
from django.test import Client
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from builds.handover.actions.booklets import make_booklet, publish_booklet, take_booklet_back
from builds.handover.queries.booklet import contents
from builds.handover.queries.booklet_page import booklet_part
from builds.handover.queries.booklet_paper import ready
from builds.progress.models import Build
from builds.progress.states import State
from shop.house.queries import house
from shop.models import User
from shop.post.actions import revoke
from tests.conftest import NOW
from tests.handover.booklets import pictures_of, published
from tests.visitor import making

SIZES = ["usual", "large"]


@pytest.fixture
def sent(build: Build, owner: User, now: datetime) -> Build:
    """A hilt that has left, its booklet published before."""
    published(build, owner, now)
    return making.finished(build, now)


@pytest.fixture
def hilt_page(sent: Build, now: datetime) -> str:
    return f"/your/hilt/{making.token(making.hilt_link_to(sent, now))}/"


@pytest.fixture
def order_page(sent: Build, now: datetime) -> str:
    return f"/your/order/{making.token(making.link(sent.item.order, now))}/"


@pytest.mark.parametrize("size", SIZES)
def test_owner_opens_it_on_the_page_of_the_hilt_and_of_the_order(
    size: str, stranger: Client, hilt_page: str, order_page: str, sent: Build
) -> None:
    for page, address in (
        (hilt_page, f"{hilt_page}booklet/{size}/"),
        (order_page, f"{order_page}booklet/{sent.number}/{size}/"),
    ):
        assert f'href="{address}"' in stranger.get(page).content.decode()
        answer = stranger.get(address)
        assert answer.status_code == 200
        assert answer["Content-Type"] == "application/pdf"
        assert answer["Content-Disposition"] == (f'inline; filename="booklet-{sent}-{size}.pdf"')
        assert answer["Cache-Control"] == "private, no-store"
        assert answer["Referrer-Policy"] == "no-referrer"
        assert "Copperfen" in PdfReader(BytesIO(answer.content)).pages[0].extract_text()


def test_not_before_the_hilt_has_left(
    build: Build, owner: User, stranger: Client, now: datetime
) -> None:
    published(build, owner, now)
    hilt = f"/your/hilt/{making.token(making.hilt_link_to(build, now))}/"
    order = f"/your/order/{making.token(making.link(build.item.order, now))}/"
    for page, address in ((hilt, "booklet/usual/"), (order, f"booklet/{build.number}/usual/")):
        assert "booklet" not in stranger.get(page).content.decode().lower()
        assert stranger.get(page + address).status_code == 404


def test_one_that_is_not_published_or_taken_back_is_unknown(
    build: Build, owner: User, stranger: Client, now: datetime
) -> None:
    make_booklet(build, house(), token=uuid4(), by=owner, now=now)
    making.finished(build, now)
    page = f"/your/hilt/{making.token(making.hilt_link_to(build, now))}/"
    assert stranger.get(f"{page}booklet/usual/").status_code == 404
    newest = booklet_part(build, house(), NOW).made[0]
    publish_booklet(build.pk, house(), seen=newest.pk, by=owner, now=now)
    assert stranger.get(f"{page}booklet/usual/").status_code == 200
    take_booklet_back(build.pk, by=owner, now=now)
    assert stranger.get(f"{page}booklet/usual/").status_code == 404


def test_another_size_order_or_link_is_unknown(
    sent: Build, owner: User, stranger: Client, hilt_page: str, order_page: str, now: datetime
) -> None:
    other = making.order(making.customer(now, called="Maud"), now, "2026-099")
    theirs = making.build(other, owner, now, hilt="Ninth Lantern", state=State.INSTALL)
    published(theirs, owner, now)
    making.finished(theirs, now)
    for address in (
        f"{hilt_page}booklet/huge/",
        f"{order_page}booklet/{theirs.number}/usual/",
        f"{order_page}booklet/{sent.number}/tiny/",
        "/your/hilt/abcdefghijklmnop-abcdefghijklmnopqrstuvwxyz/booklet/usual/",
    ):
        assert stranger.get(address).status_code == 404, address


def test_a_revoked_link_opens_no_booklet(
    sent: Build, owner: User, stranger: Client, hilt_page: str, now: datetime
) -> None:
    revoke(making.hilt_link_to(sent, now), by=owner, now=now)
    assert stranger.get(f"{hilt_page}booklet/usual/").status_code == 404


@pytest.mark.parametrize("size", SIZES)
def test_the_code_on_its_paper_opens_the_page_of_the_hilt(
    size: str, sent: Build, stranger: Client
) -> None:
    made_of = ready(contents(sent, house(), NOW))
    found = [
        code.text
        for picture in pictures_of(made_of, size, 144)
        for code in zxingcpp.read_barcodes(Image.open(BytesIO(picture)))
    ]
    assert len(found) == 1
    base = house().public_url.rstrip("/")
    assert found[0].startswith(f"{base}/your/hilt/")
    answer = stranger.get(found[0].removeprefix(base))
    assert "<h1>Copperfen</h1>" in answer.content.decode()


def test_bench_hand_needs_no_link(sent: Build, bench_client: Client) -> None:
    newest = booklet_part(sent, house(), NOW).made[0]
    address = reverse("handover_booklet", args=[sent.number, newest.pk])
    assert bench_client.get(address).status_code == 200
