"""New passwords: by link, by oneself, and what they end."""

import re
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from shop.history.models import Entry
from shop.house.models import House
from shop.people.models import User
from shop.people.queries import find_staff, reset_path, reset_url

NEW = {"password": "seven brass screws", "again": "seven brass screws"}
HOME = "/my-password/"


def test_link_sets_a_new_password_and_signs_in(owner: User, stranger: Client) -> None:
    answer = stranger.post(reset_path(owner), NEW)
    assert (answer.status_code, answer.url) == (303, HOME)
    assert stranger.get(HOME).status_code == 200
    owner.refresh_from_db()
    assert owner.check_password(NEW["password"])


def test_looking_at_the_link_uses_nothing_up(owner: User, stranger: Client) -> None:
    path = reset_path(owner)
    assert [stranger.get(path).status_code for _ in range(2)] == [200, 200]


def test_link_works_once(owner: User, stranger: Client) -> None:
    path = reset_path(owner)
    stranger.post(path, NEW)
    assert Client().get(path).status_code == 410


def test_link_is_over_once_the_owner_has_signed_in(owner: User, stranger: Client) -> None:
    path = reset_path(owner)
    typed = {"email": owner.email, "password": "a long enough phrase"}
    stranger.post(reverse("people_sign_in"), typed)
    assert Client().get(path).status_code == 410


def test_link_is_over_after_a_day(owner: User, stranger: Client, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    path = reset_path(owner)
    monkeypatch.setattr("django.conf.settings.PASSWORD_RESET_TIMEOUT", -1)
    assert stranger.get(path).status_code == 410


@pytest.mark.parametrize("uid", ["MQ", "!!", "_", "7J-k"])
def test_made_up_link_opens_nothing(house: House, stranger: Client, uid: str) -> None:
    assert stranger.get(f"/new-password/{uid}/c0ffee-{'0' * 32}/").status_code == 410


def test_link_of_one_opens_no_other(owner: User, bench_hand: User, stranger: Client) -> None:
    mine, other = reset_path(bench_hand).split("/"), reset_path(owner).split("/")
    path = "/".join([*other[:3], *mine[3:]])
    assert stranger.get(path).status_code == 410


def test_who_left_the_shop_gets_no_new_password(bench_hand: User, stranger: Client) -> None:
    path = reset_path(bench_hand)
    User.objects.filter(pk=bench_hand.pk).update(is_active=False)
    assert stranger.get(path).status_code == 410
    assert reset_url(bench_hand.pk) == ""


@pytest.mark.parametrize(
    ("password", "again", "why"),
    [
        ("short", "short", "at least 10"),
        ("password123", "password123", "too common"),
        ("oda@larkhill.example", "oda@larkhill.example", "too similar"),
        ("Larkhill-Works 2026", "Larkhill-Works 2026", "knows the shop"),
        ("hiltyard hiltyard 1", "hiltyard hiltyard 1", "knows the shop"),
        ("seven brass screws", "seven brass nuts", "not the same"),
    ],
)
def test_poor_password_is_refused_in_words(
    owner: User, stranger: Client, password: str, again: str, why: str
) -> None:
    answer = stranger.post(reset_path(owner), {"password": password, "again": again})
    assert answer.status_code == 422
    assert why in answer.text


def test_new_password_signs_out_other_devices(owner: User, owner_client: Client) -> None:
    Client().post(reset_path(owner), NEW)
    assert owner_client.get(HOME).status_code == 302


def test_own_password_changed_keeps_this_device_only(owner: User, owner_client: Client) -> None:
    other = Client()
    other.force_login(owner)
    typed = NEW | {"present": "a long enough phrase"}
    assert owner_client.post(HOME, typed).status_code == 303
    assert [c.get(HOME).status_code for c in (owner_client, other)] == [200, 302]


def test_own_password_needs_the_present_one(owner: User, owner_client: Client) -> None:
    answer = owner_client.post(HOME, NEW | {"present": "not this one"})
    assert answer.status_code == 422
    assert "not your password" in answer.text


@pytest.mark.parametrize(("page", "more"), [(HOME, NEW), ("/my-pin/", {"pin": "4071"})])
def test_guesses_at_the_present_password_are_counted_as_at_the_door(
    owner_client: Client, page: str, more: dict[str, str]
) -> None:
    for _ in range(10):
        answer = owner_client.post(page, more | {"present": "not this one"})
        assert "not your password" in answer.text
    answer = owner_client.post(page, more | {"present": "a long enough phrase"})
    assert answer.status_code == 422
    assert "Too many tries" in answer.text


def test_new_password_is_in_the_history_without_it(owner: User, stranger: Client) -> None:
    stranger.post(reset_path(owner), NEW)
    entry = Entry.objects.get(verb="password_set")
    assert (entry.about, entry.actor, entry.parameters) == (owner.about, owner, {})


def test_command_prints_a_link_that_works(owner: User, stranger: Client) -> None:
    out = StringIO()
    call_command("password_link", "ODA@larkhill.example", stdout=out)
    link = re.search(r"http://192\.0\.2\.10:8000(/\S+)", out.getvalue())
    assert link
    assert stranger.get(link[1]).status_code == 200


def test_command_names_who_there_is(owner: User) -> None:
    with pytest.raises(CommandError, match=re.escape(owner.email)):
        call_command("password_link", "nobody@larkhill.example")


def test_staff_is_found_whatever_the_case(owner: User) -> None:
    assert find_staff(" ODA@Larkhill.example") == owner
