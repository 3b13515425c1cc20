"""The private link to a finished hilt's own page, as the owner gives it away or closes it."""

from datetime import datetime

import pytest
from django.test import Client

from builds.progress.models import Build
from builds.progress.states import State
from shop.models import House, PrivateLink, User
from tests.visitor import making


@pytest.fixture
def finished(owner: User, now: datetime) -> Build:
    order = making.order(making.customer(now), now)
    return making.finished(making.build(order, owner, now, state=State.TEST), now)


@pytest.fixture
def link(finished: Build, now: datetime) -> PrivateLink:
    return making.hilt_link_to(finished, now)


@pytest.fixture
def deeds(finished: Build) -> str:
    return f"/hilts/{finished.hilt_id}/link/"


def customer_page(client: Client, build: Build) -> str:
    return client.get(f"/customers/{build.item.order.customer_id}/").content.decode()


def address(link: PrivateLink) -> str:
    return f"https://larkhill.example/your/hilt/{making.token(link)}/"


def test_owner_finds_the_link_at_the_customer(
    owner_client: Client, finished: Build, link: PrivateLink
) -> None:
    assert address(link) in customer_page(owner_client, finished)


def test_owner_finds_the_link_on_the_sheet(
    owner_client: Client, finished: Build, link: PrivateLink
) -> None:
    assert address(link) in owner_client.get(f"/build/{finished.number}/").content.decode()


def test_bench_hand_is_shown_no_private_link(
    bench_client: Client, finished: Build, link: PrivateLink
) -> None:
    assert "/your/hilt/" not in customer_page(bench_client, finished)
    assert "/your/hilt/" not in bench_client.get(f"/build/{finished.number}/").content.decode()


@pytest.mark.parametrize("made", [True, False], ids=["made", "none"])
def test_shop_without_an_address_offers_no_link_to_renew_or_close(
    owner_client: Client, finished: Build, link: PrivateLink, made: bool
) -> None:
    House.objects.update(public_url="")
    if not made:
        PrivateLink.objects.all().delete()
    of_order = f"/orders/{finished.item.order.number}/"
    for page in (
        customer_page(owner_client, finished), owner_client.get(of_order).content.decode()
    ):  # fmt: skip
        assert "so there is no link to give" in page
        for offer in ("New link", "Close it", "Make the link", "A new link kills"):
            assert offer not in page, offer


def test_hilt_that_is_being_worked_on_has_no_page_to_give(
    owner_client: Client, finished: Build, link: PrivateLink
) -> None:
    Build.objects.update(state=State.INTAKE)
    assert "/your/hilt/" not in customer_page(owner_client, finished)
    assert "/your/hilt/" not in owner_client.get(f"/build/{finished.number}/").content.decode()


def test_owner_makes_the_link_of_a_hilt_that_has_none(
    owner_client: Client, finished: Build, deeds: str
) -> None:
    owner_client.post(f"{deeds}renew/")
    assert address(PrivateLink.objects.get()) in customer_page(owner_client, finished)


def test_new_link_kills_the_old_one(
    owner_client: Client, stranger: Client, link: PrivateLink, deeds: str
) -> None:
    old = f"/your/hilt/{making.token(link)}/"
    owner_client.post(f"{deeds}renew/")
    assert stranger.get(old).status_code == 404
    link.refresh_from_db()
    assert stranger.get(f"/your/hilt/{making.token(link)}/").status_code == 200


def test_closed_link_opens_nothing(
    owner_client: Client, stranger: Client, finished: Build, link: PrivateLink, deeds: str
) -> None:
    owner_client.post(f"{deeds}revoke/")
    assert stranger.get(f"/your/hilt/{making.token(link)}/").status_code == 404
    assert "Closed." in customer_page(owner_client, finished)


def test_sheet_of_a_hilt_without_a_link_says_where_one_is_made(
    owner_client: Client, finished: Build
) -> None:
    sheet = owner_client.get(f"/build/{finished.number}/").content.decode()
    assert f'/customers/{finished.item.order.customer_id}/#pages"' in sheet
