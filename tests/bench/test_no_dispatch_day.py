"""A shop that nothing leaves for a year: closed for long, or without dispatch days."""

from datetime import datetime

import pytest
from django.test import Client

from builds.progress.models import Build
from builds.progress.states import State
from shop.models import Closure, User
from tests.makers import make_build, take_views

PAGES = ["/", "/bench/", "/dispatch/", "/intake/", "/orders/new/", "/settings/hours/"]


@pytest.fixture
def waiting(owner: User, now: datetime) -> Build:
    """A build that lacks nothing but its parcel."""
    build = make_build(owner, now, State.DISPATCH)
    take_views(build, State.DISPATCH, owner, now)
    Closure.objects.create(first="2020-01-01", last="2199-12-31", reason="moved away")
    return build


@pytest.mark.parametrize("url", PAGES)
def test_page_opens_in_a_shop_that_nothing_leaves(
    url: str, waiting: Build, owner_client: Client
) -> None:
    assert owner_client.get(url).status_code == 200


def test_sheet_opens_in_a_shop_that_nothing_leaves(waiting: Build, owner_client: Client) -> None:
    assert owner_client.get(f"/build/{waiting.number}/").status_code == 200


def test_today_says_that_no_parcel_can_leave(waiting: Build, owner_client: Client) -> None:
    assert "No parcel can leave" in owner_client.get("/").content.decode()


def test_new_order_says_that_nothing_leaves(waiting: Build, owner_client: Client) -> None:
    assert "Nothing leaves within a year" in owner_client.get("/orders/new/").content.decode()
