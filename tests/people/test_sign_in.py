"""Sign-in, its throttle, and what becomes of a session."""

from collections.abc import Collection
from datetime import datetime, timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from shop.people.actions import (
    HOUR,
    SPAN,
    TRIES_A_CALLER,
    TRIES_AN_ADDRESS,
    TRIES_FROM_ELSEWHERE,
    Refused,
    check_sign_in,
)
from shop.people.devices import COOKIE
from shop.people.models import User
from shop.people.queries import reset_path
from tests.conftest import NOW

RIGHT = "a long enough phrase"
HOME = "/my-password/"


def sign_in(client: Client, **fields: str):  # type: ignore[no-untyped-def]
    typed = {"email": "oda@larkhill.example", "password": RIGHT} | fields
    return client.post(reverse("people_sign_in"), typed)


def test_owner_signs_in_and_goes_home(owner: User, stranger: Client) -> None:
    answer = sign_in(stranger)
    assert (answer.status_code, answer.url) == (303, HOME)
    assert stranger.get(HOME).status_code == 200


def test_case_and_blanks_of_the_address_do_not_matter(owner: User, stranger: Client) -> None:
    assert sign_in(stranger, email=" Oda@Larkhill.Example ").status_code == 303


def test_wrong_password_is_told_and_the_address_kept(owner: User, stranger: Client) -> None:
    answer = sign_in(stranger, password="a wrong phrase")
    assert answer.status_code == 422
    assert "do not go together" in answer.text
    assert "oda@larkhill.example" in answer.text
    assert "a wrong phrase" not in answer.text


def test_unknown_address_is_told_the_same(owner: User, stranger: Client) -> None:
    answer = sign_in(stranger, email="nobody@larkhill.example")
    assert "do not go together" in answer.text


def test_who_left_the_shop_cannot_sign_in(owner: User, stranger: Client) -> None:
    User.objects.filter(pk=owner.pk).update(is_active=False)
    assert sign_in(stranger).status_code == 422


def test_leaving_the_shop_ends_a_session(owner: User, owner_client: Client) -> None:
    User.objects.filter(pk=owner.pk).update(is_active=False)
    assert owner_client.get(HOME).status_code == 302


def test_sign_in_gives_the_session_a_new_key(owner: User, stranger: Client) -> None:
    session = stranger.session
    session["before"] = True
    session.save()
    stranger.cookies[settings.SESSION_COOKIE_NAME] = str(session.session_key)
    sign_in(stranger)
    assert stranger.cookies[settings.SESSION_COOKIE_NAME].value != session.session_key


@pytest.mark.parametrize(("remember", "age"), [({"remember": "on"}, 14 * 24 * 3600), ({}, "")])
def test_session_is_remembered_only_when_asked(
    owner: User, stranger: Client, remember: dict[str, str], age: int | str
) -> None:
    sign_in(stranger, **remember)
    assert stranger.cookies[settings.SESSION_COOKIE_NAME]["max-age"] == age


@pytest.mark.parametrize(
    ("wanted", "to"),
    [("/my-password/?a=1", "/my-password/?a=1"), ("https://elsewhere.example/", HOME)],
)
def test_sign_in_leads_back_to_our_own_pages_only(
    owner: User, stranger: Client, wanted: str, to: str
) -> None:
    assert sign_in(stranger, next=wanted).url == to


def test_sign_out_ends_the_session(owner_client: Client) -> None:
    owner_client.post(reverse("people_sign_out"))
    assert owner_client.get(HOME).status_code == 302


def test_a_link_cannot_sign_anyone_out(owner_client: Client) -> None:
    assert owner_client.get(reverse("people_sign_out")).status_code == 405
    assert owner_client.get(HOME).status_code == 200


def attempt(
    password: str,
    caller: str,
    email: str = "oda@larkhill.example",
    at: datetime = NOW,
    knows: Collection[int] = frozenset(),
) -> User:
    return check_sign_in(email=email, password=password, caller=caller, now=at, knows=knows)


def guess(times: int, caller: str) -> None:
    for n in range(times):
        with pytest.raises(Refused):
            attempt(f"guess {n}", caller)


def test_too_many_guesses_shut_out_even_the_right_password(owner: User) -> None:
    guess(TRIES_AN_ADDRESS, "192.0.2.1")
    with pytest.raises(Refused, match="Too many tries"):
        attempt(RIGHT, "192.0.2.1")


def test_guesses_from_elsewhere_do_not_shut_the_owner_out(owner: User) -> None:
    guess(TRIES_AN_ADDRESS + 1, "192.0.2.1")
    assert attempt(RIGHT, "192.0.2.2") == owner


def test_after_the_span_the_owner_is_let_in_again(owner: User) -> None:
    guess(TRIES_AN_ADDRESS + 1, "192.0.2.1")
    assert attempt(RIGHT, "192.0.2.1", at=NOW + SPAN + timedelta(seconds=1)) == owner


def test_success_starts_the_count_anew(owner: User) -> None:
    guess(TRIES_AN_ADDRESS - 1, "192.0.2.1")
    attempt(RIGHT, "192.0.2.1")
    guess(TRIES_AN_ADDRESS - 1, "192.0.2.1")
    assert attempt(RIGHT, "192.0.2.1") == owner


def test_one_caller_cannot_try_many_addresses(owner: User) -> None:
    for n in range(TRIES_A_CALLER):
        with pytest.raises(Refused):
            attempt("guess", "192.0.2.1", email=f"{n}@larkhill.example")
    with pytest.raises(Refused, match="Too many tries"):
        attempt(RIGHT, "192.0.2.1")


def sign_in_often(client: Client, password: str) -> None:
    for _ in range(TRIES_AN_ADDRESS):
        sign_in(client, password=password)


def test_guesses_through_one_proxy_do_not_shut_out_a_known_device(owner: User) -> None:
    known, guesser = Client(), Client()
    sign_in(known)
    known.post(reverse("people_sign_out"))
    sign_in_often(guesser, "a guess")
    assert "Too many tries" in sign_in(guesser).text
    assert sign_in(known).status_code == 303


def test_known_device_may_not_guess_for_ever_either(owner: User) -> None:
    known = Client()
    sign_in(known)
    known.post(reverse("people_sign_out"))
    sign_in_often(known, "a guess")
    assert "Too many tries" in sign_in(known).text


def test_made_up_device_counts_as_none(owner: User) -> None:
    guesser, forger = Client(), Client()
    sign_in_often(guesser, "a guess")
    forger.cookies[COOKIE] = "made-up:1a2b3c:signature"
    assert "Too many tries" in sign_in(forger).text


def test_stranger_is_led_to_sign_in_and_back(stranger: Client) -> None:
    answer = stranger.get(HOME)
    assert answer.url == "/sign-in/?next=%2Fmy-password%2F"


def test_deed_after_sign_out_leads_back_to_its_page(stranger: Client) -> None:
    answer = stranger.post(HOME, headers={"referer": "http://testserver/my-password/?a=1"})
    assert (answer.status_code, answer.url) == (303, "/sign-in/?next=%2Fmy-password%2F%3Fa%3D1")
    assert "nothing was saved" in stranger.get(answer.url).text


def test_htmx_is_told_to_go_to_the_sign_in(stranger: Client) -> None:
    headers = {"hx-request": "true", "hx-current-url": "http://testserver/my-password/"}
    answer = stranger.post(HOME, headers=headers)
    assert answer.headers["HX-Redirect"] == "/sign-in/?next=%2Fmy-password%2F"


def guess_from_everywhere(times: int, **known: Collection[int]) -> None:
    for n in range(times):
        with pytest.raises(Refused):
            attempt(f"guess {n}", f"198.51.100.{n}", **known)


def test_guesses_from_ever_new_callers_are_counted_together(owner: User) -> None:
    guess_from_everywhere(TRIES_FROM_ELSEWHERE)
    with pytest.raises(Refused, match="Somebody tries passwords"):
        attempt(RIGHT, "192.0.2.1")


def test_guesses_from_everywhere_never_stop_a_device_that_knows_the_owner(owner: User) -> None:
    guess_from_everywhere(TRIES_FROM_ELSEWHERE + 5)
    assert attempt(RIGHT, "device one", knows={owner.pk}) == owner


def test_device_that_knows_somebody_else_is_one_from_elsewhere(
    owner: User, bench_hand: User
) -> None:
    guess_from_everywhere(TRIES_FROM_ELSEWHERE, knows={bench_hand.pk})
    with pytest.raises(Refused, match="Somebody tries passwords"):
        attempt(RIGHT, "device two", knows={bench_hand.pk})


def test_guesses_from_everywhere_do_not_stop_the_link_for_a_new_password(owner: User) -> None:
    guess_from_everywhere(TRIES_FROM_ELSEWHERE + 5)
    client = Client()
    phrase = {"password": "seven brass screws", "again": "seven brass screws"}
    client.post(reset_path(owner), phrase)
    assert client.get(HOME).status_code == 200
    client.post(reverse("people_sign_out"))
    assert sign_in(client, password="seven brass screws").status_code == 303


def test_guesses_from_everywhere_hold_up_a_new_device_for_an_hour_at_most(owner: User) -> None:
    guess_from_everywhere(TRIES_FROM_ELSEWHERE)
    assert attempt(RIGHT, "192.0.2.1", at=NOW + HOUR) == owner


def test_device_is_known_for_those_who_signed_in_on_it(owner: User, bench_hand: User) -> None:
    tablet = Client()
    for user in (owner, bench_hand):
        sign_in(tablet, email=user.email)
        tablet.post(reverse("people_sign_out"))
    kept = tablet.cookies[COOKIE].value
    assert f".{owner.pk}.{bench_hand.pk}:" in kept


def test_https_is_asked_for_anew_for_a_year(stranger: Client, settings: Settings) -> None:
    settings.SECURE_HSTS_SECONDS = 31_536_000
    answer = Client().get(reverse("people_sign_in"), secure=True)
    assert answer["Strict-Transport-Security"] == "max-age=31536000"
