"""A part of a page that is drawn once gives each look secrets of its own."""

import re
from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from builds.models import Hilt
from builds.progress.states import Kind, State
from shop.models import House, User
from shop.web.drawn import _cut
from tests.makers import make_build

pytestmark = pytest.mark.django_db(transaction=True)
UUID = re.compile(r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}")
LIKE_A_TOKEN = "7f4fae51-0d31-4c6f-9d67-5d1e93a0b7c2"
SECRET = re.compile(r'name="csrfmiddlewaretoken" value="([^"]+)"')


@pytest.fixture
def tablets(house: House, owner: User, bench_hand: User, now: datetime) -> tuple[Client, Client]:
    """The owner's and the bench hand's, before a build that may be timed and moved on."""
    make_build(owner, now, State.INSTALL)
    one, other = Client(), Client()
    one.force_login(owner)
    other.force_login(bench_hand)
    return one, other


def inside(tablet: Client, page: str) -> str:
    """What stands within the page itself, without its frame."""
    return tablet.get(reverse(page)).content.decode().partition("<main")[2].partition("</main>")[0]


@pytest.mark.parametrize("page", ["bench_bench", "bench_today"])
def test_two_looks_share_no_token_and_no_secret(
    tablets: tuple[Client, Client], page: str, owner: User, now: datetime
) -> None:
    make_build(owner, now, State.INTAKE, kind=Kind.BLADE)  # one tap takes it further
    one, other = tablets
    looks = [inside(tablet, page) for tablet in (one, one, other)]
    for pattern in (UUID, SECRET):
        found = [set(pattern.findall(text)) for text in looks]
        assert all(found)
        assert not found[0] & found[1]
        assert not found[0] & found[2]


def test_token_elsewhere_than_in_its_field_is_shared_by_nobody() -> None:
    assert _cut(f'<input name="token" value="{LIKE_A_TOKEN}">').may_be_shared
    assert not _cut(f'<form data-token="{LIKE_A_TOKEN}">').may_be_shared


@pytest.mark.parametrize("page", ["bench_bench", "bench_today"])
def test_hilt_that_is_called_like_a_token_breaks_no_page(
    tablets: tuple[Client, Client], page: str
) -> None:
    Hilt.objects.update(name=f"Copperfen {LIKE_A_TOKEN}")
    text = [tablets[0].get(reverse(page)).content.decode() for _ in range(2)]
    assert all(f"Copperfen {LIKE_A_TOKEN}" in each for each in text)
    tokens = [set(UUID.findall(each)) for each in text]
    assert tokens[0] & tokens[1] == {LIKE_A_TOKEN}


def timer_form(tablet: Client) -> tuple[str, dict[str, str]]:
    """Where "Start my timer" on the Bench posts to, and what."""
    text = tablet.get(reverse("bench_bench")).content.decode()
    forms = re.findall(r'<form method="post" action="([^"]*)"[^>]*>(.*?)</form>', text, re.DOTALL)
    address, inside = next(form for form in forms if "Start my timer" in form[1])
    return address, dict(re.findall(r'name="(\w+)" value="([^"]*)"', inside))


def test_drawn_tokens_and_secrets_are_taken(house: House, owner: User, now: datetime) -> None:
    make_build(owner, now, State.INSTALL)
    tablet = Client(enforce_csrf_checks=True)
    tablet.force_login(owner)
    timer_form(tablet)
    address, fields = timer_form(tablet)  # drawn for the look before
    assert tablet.post(address, fields).status_code == 303
    assert tablet.post(address, {**fields, "csrfmiddlewaretoken": "x" * 64}).status_code == 403


def test_each_person_sees_their_own_timer(tablets: tuple[Client, Client]) -> None:
    one, other = tablets
    one.post(*timer_form(one))
    assert "Stop my timer" in one.get(reverse("bench_bench")).content.decode()
    assert "Stop my timer" not in other.get(reverse("bench_bench")).content.decode()


def test_what_another_tablet_did_is_drawn_at_once(tablets: tuple[Client, Client]) -> None:
    one, other = tablets
    assert "is at it since" not in other.get(reverse("bench_bench")).content.decode()
    one.post(*timer_form(one))
    assert "is at it since" in other.get(reverse("bench_bench")).content.decode()
