"""What a private link opens, and what a stranger sees instead."""

import re
from datetime import date, datetime, timedelta

import pytest
from django.http import HttpResponse
from django.test import Client

from builds.progress.models import Build
from builds.progress.states import State
from shop.models import Order, PrivateLink, Throttle, User
from shop.post.actions import renew, revoke
from tests.visitor import making

UNKNOWN = "/your/order/abcdefghijklmnop-abcdefghijklmnopqrstuvwxyz/"


def seen(response: HttpResponse) -> tuple[int, str]:
    """What a caller can tell one refusal from another by."""
    return response.status_code, re.sub(r"\s+", " ", response.content.decode())


def test_customer_opens_her_page_without_signing_in(
    stranger: Client, url: str, build: Build
) -> None:
    assert stranger.get(url).status_code == 200


def test_stranger_without_a_link_is_told_to_ask_for_one(stranger: Client) -> None:
    response = stranger.get(UNKNOWN)
    assert response.status_code == 404
    assert "ask the shop for a new link" in response.content.decode()


@pytest.mark.parametrize("wrong", ["x", "-", "a-b", "å-ß", "a" * 400, "%00-%00"])
def test_nonsense_opens_nothing(stranger: Client, wrong: str) -> None:
    assert seen(stranger.get(f"/your/order/{wrong}/")) == seen(stranger.get(UNKNOWN))


def test_link_with_a_wrong_proof_looks_unknown(stranger: Client, url: str, build: Build) -> None:
    last = "b" if url[-2] == "a" else "a"
    assert seen(stranger.get(f"{url[:-2]}{last}/")) == seen(stranger.get(UNKNOWN))


def test_revoked_link_looks_unknown(
    stranger: Client, url: str, link: PrivateLink, owner: User, now: datetime
) -> None:
    revoke(link, owner, now)
    assert seen(stranger.get(url)) == seen(stranger.get(UNKNOWN))


def test_link_of_an_older_version_looks_unknown(
    stranger: Client, url: str, link: PrivateLink, owner: User, now: datetime
) -> None:
    renew(link, owner, now)
    assert seen(stranger.get(url)) == seen(stranger.get(UNKNOWN))


def test_renewed_link_opens(
    stranger: Client, url: str, link: PrivateLink, owner: User, now: datetime
) -> None:
    fresh = renew(link, owner, now)
    assert stranger.get(f"/your/order/{making.token(fresh)}/").status_code == 200


def test_expired_link_looks_unknown(stranger: Client, url: str, link: PrivateLink) -> None:
    link.expires_on = date(2026, 11, 24)
    link.save()
    assert seen(stranger.get(url)) == seen(stranger.get(UNKNOWN))


def test_link_opens_on_its_last_day(stranger: Client, url: str, link: PrivateLink) -> None:
    link.expires_on = date(2026, 11, 25)
    link.save()
    assert stranger.get(url).status_code == 200


DAY, A_YEAR = timedelta(days=1), timedelta(days=365)


def _end(build: Build, when: datetime) -> None:
    Build.objects.filter(pk=build.pk).update(state=State.COLLECTED, state_since=when, tray=None)


@pytest.mark.parametrize(("ended_ago", "status"), [(A_YEAR, 200), (A_YEAR + DAY, 404)])
def test_page_closes_a_year_after_the_last_build_ended(
    ended_ago: timedelta, status: int, stranger: Client, url: str, build: Build, now: datetime
) -> None:
    _end(build, now - ended_ago)
    assert stranger.get(url).status_code == status


def test_page_stays_open_while_a_build_of_the_order_is(
    stranger: Client, url: str, build: Build, order: Order, owner: User, now: datetime
) -> None:
    _end(build, now - 2 * A_YEAR)
    making.build(order, owner, now, hilt="Ninth Lantern")
    assert stranger.get(url).status_code == 200


def test_guesses_are_counted_and_slowed(stranger: Client) -> None:
    answers = [stranger.get(UNKNOWN).status_code for _ in range(22)]
    assert answers == [404] * 20 + [429] * 2


def test_guesser_does_not_shut_the_customer_out(stranger: Client, url: str, build: Build) -> None:
    for _ in range(25):
        stranger.get(UNKNOWN)
    assert stranger.get(url).status_code == 200


def test_guesses_are_not_kept_with_the_address(stranger: Client) -> None:
    stranger.get(UNKNOWN)
    assert "127.0.0.1" not in Throttle.objects.get().key


def test_question_through_a_wrong_link_goes_nowhere(stranger: Client) -> None:
    assert stranger.post(UNKNOWN, {"words": "let me in"}).status_code == 404


def test_order_page_tells_no_cache_search_engine_or_other_site(
    stranger: Client, url: str, build: Build
) -> None:
    headers = stranger.get(url).headers
    assert headers["Cache-Control"] == "private, no-store"
    assert "noindex" in headers["X-Robots-Tag"]
    assert headers["Referrer-Policy"] == "same-origin"


def test_refusal_sends_no_referrer(stranger: Client) -> None:
    assert stranger.get(UNKNOWN).headers["Referrer-Policy"] == "no-referrer"


def test_customer_gets_no_session(stranger: Client, url: str, build: Build) -> None:
    stranger.get(url)
    assert list(stranger.cookies) == ["csrftoken"]


def test_order_that_is_not_there_looks_unknown(
    stranger: Client, order: Order, link: PrivateLink, url: str
) -> None:
    order.delete()
    assert seen(stranger.get(url)) == seen(stranger.get(UNKNOWN))


def test_no_stricter_referrer_policy_hides_in_the_page(
    stranger: Client, url: str, build: Build
) -> None:
    # "no-referrer" makes browsers post the question with "Origin: null", which is refused.
    assert "no-referrer" not in stranger.get(url).content.decode()
