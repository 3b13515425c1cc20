"""The first set-up: its code, what it makes, and that it is done once."""

from threading import Barrier, Thread
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from builds.desk.actions.first_setup import TRIES, AlreadySetUp, set_up
from builds.intake.models import View
from builds.progress.models import Place, Tray
from shop.diary.actions import Day
from shop.diary.models import Weekday
from shop.env import setup_code_file
from shop.house.models import House
from shop.people.models import User
from tests.conftest import NOW

HOME = "/"
TYPED = {
    "name": "Larkhill Works",
    "bench_url": "http://192.0.2.10:8000/",
    "country": "GB",
    "region": "SCT",
    "zone_name": "Europe/London",
    "currency": "GBP",
    "cut_off": "15:00",
    "opens_0": "09:00",
    "closes_0": "17:30",
    "dispatches_0": "on",
    "owner-name": "Oda",
    "owner-email": "Oda@larkhill.example",
    "owner-password": "seven brass screws",
    "owner-again": "seven brass screws",
}


def send(client: Client, code: str, **more: Any):  # type: ignore[no-untyped-def]
    return client.post("/set-up/", TYPED | {"code": code} | more)


def test_before_the_set_up_every_page_leads_there(empty_shop: Client) -> None:
    paths = ["/", "/settings/", "/sign-in/", "/no-such-page/"]
    assert {empty_shop.get(path).headers["Location"] for path in paths} == {"/set-up/"}


def test_page_comes_with_a_usual_week(empty_shop: Client) -> None:
    text = empty_shop.get("/set-up/").text
    assert text.count('value="09:00"') == text.count('value="17:30"') == 5


def test_owner_sets_up_and_is_signed_in(empty_shop: Client, code: str) -> None:
    answer = send(empty_shop, code)
    assert (answer.status_code, answer.headers["Location"]) == (303, HOME)
    assert empty_shop.get(HOME).status_code == 200


def test_set_up_makes_the_shop_as_typed(empty_shop: Client, code: str) -> None:
    send(empty_shop, code)
    house = House.objects.get()
    assert (house.name, house.region, house.bench_url) == (
        "Larkhill Works",
        "SCT",
        "http://192.0.2.10:8000",
    )
    assert not house.closed_on_holidays
    assert [d.dispatches for d in Weekday.objects.all()] == [True] + [False] * 6


def test_set_up_makes_an_owner_with_the_password(empty_shop: Client, code: str) -> None:
    send(empty_shop, code)
    owner = User.objects.get()
    assert (owner.email, owner.is_owner) == ("oda@larkhill.example", True)
    assert owner.check_password("seven brass screws")


def test_set_up_makes_views_trays_and_places(empty_shop: Client, code: str) -> None:
    send(empty_shop, code)
    assert View.objects.filter(stage="intake").count() == 6
    assert (Tray.objects.count(), Place.objects.count()) == (20, 3)


def test_code_is_used_up(
    empty_shop: Client, code: str, django_capture_on_commit_callbacks: Any
) -> None:
    with django_capture_on_commit_callbacks(execute=True):
        send(empty_shop, code)
    assert not setup_code_file().exists()


def test_code_may_be_typed_small_and_without_its_dash(empty_shop: Client, code: str) -> None:
    assert send(empty_shop, f" {code.lower().replace('-', ' ')} ").status_code == 303


def test_wrong_code_sets_up_nothing_and_says_so(empty_shop: Client, code: str) -> None:
    answer = send(empty_shop, "AAAA-AAAA")
    assert answer.status_code == 422
    assert "This is not the code" in answer.text
    assert "Larkhill Works" in answer.text
    assert not House.objects.exists()


def test_without_a_code_file_no_code_is_right(empty_shop: Client) -> None:
    setup_code_file().unlink()
    answer = send(empty_shop, "-")
    assert answer.status_code == 422
    assert "Start Hiltyard again" in answer.text


def test_code_cannot_be_guessed_on_and_on(empty_shop: Client, code: str) -> None:
    for _ in range(TRIES):
        send(empty_shop, "AAAA-AAAA")
    answer = send(empty_shop, code)
    assert "Too many tries" in answer.text
    assert not House.objects.exists()


@pytest.mark.parametrize(
    ("field", "typed", "why"),
    [
        ("name", "", "This field is required"),
        ("bench_url", "not an address", "valid URL"),
        ("zone_name", "Mars/Crater", "Select a valid choice"),
        ("closes_0", "", "Give both hours"),
        ("closes_0", "08:00", "Closing comes after opening"),
        ("dispatches_0", "", "at least one day on which parcels leave"),
        ("owner-password", "short", "at least 10"),
        ("owner-again", "another one", "not the same"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(
    empty_shop: Client, code: str, field: str, typed: str, why: str
) -> None:
    answer = send(empty_shop, code, **{field: typed})
    assert answer.status_code == 422
    assert why in answer.text
    assert not House.objects.exists()


def test_another_country_brings_its_zone_money_and_regions(empty_shop: Client) -> None:
    answer = send(empty_shop, "typed code", country="NZ", suggest="country")
    assert answer.status_code == 200
    for chosen in (
        '"Pacific/Auckland" selected',
        '"NZD" selected',
        '"AUK">Auckland<',
        "typed code",
    ):
        assert chosen in answer.text


def test_htmx_gets_only_what_goes_with_the_country(empty_shop: Client) -> None:
    headers = {"hx-request": "true", "hx-target": "country-parts"}
    typed = TYPED | {"country": "NZ", "suggest": "country"}
    answer = empty_shop.post("/set-up/", typed, headers=headers)
    assert '"NZD" selected' in answer.text
    assert "<html" not in answer.text


def test_set_up_is_done_once(owner: User, stranger: Client, data: Any) -> None:
    answer = send(stranger, "AAAA-AAAA")
    assert answer.headers["Location"] == reverse("people_sign_in")
    assert User.objects.get() == owner


@pytest.mark.django_db(transaction=True)
def test_two_at_once_one_wins(data: Any) -> None:
    start, outcomes = Barrier(2), []

    def try_it(email: str) -> None:
        start.wait()
        owner = {"name": "Oda", "email": email, "password": "seven brass screws"}
        day = Day(0, None, None, True)
        try:
            set_up(House(name=email), [day], NOW.time(), owner, now=NOW)
            outcomes.append("made")
        except AlreadySetUp:
            outcomes.append("told")
        finally:
            connection.close()

    threads = [Thread(target=try_it, args=[f"{n}@larkhill.example"]) for n in "ab"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["made", "told"]
    assert User.objects.get().email == House.objects.get().name
