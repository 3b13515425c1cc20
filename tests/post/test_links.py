"""Private links: what opens, and all that does not."""

from datetime import date, datetime, timedelta

import pytest
from django.conf import settings as django_settings
from pytest_django import DjangoAssertNumQueries, Settings

from shop.house.models import House
from shop.post import actions, links, queries
from shop.post.models import PrivateLink, Scope

TODAY = date(2026, 11, 25)
pytestmark = pytest.mark.django_db


@pytest.fixture
def link(now: datetime) -> PrivateLink:
    return actions.link_for(Scope.ORDER, "order:7", now)


def token_of(link: PrivateLink) -> str:
    return links.token(link.id, link.version, django_settings.LINK_KEY)


def opens(token: str, scope: str = Scope.ORDER, today: date = TODAY) -> bool:
    return queries.open_link(scope, token, today) is not None


def test_link_opens(link: PrivateLink) -> None:
    assert queries.open_link(Scope.ORDER, token_of(link), TODAY) == link


def test_link_is_made_once(link: PrivateLink, now: datetime) -> None:
    assert actions.link_for(Scope.ORDER, "order:7", now) == link
    assert PrivateLink.objects.count() == 1


def test_token_in_capitals_opens(link: PrivateLink) -> None:
    assert opens(token_of(link).upper())


def test_token_holds_128_bits_of_proof(link: PrivateLink) -> None:
    link_id, _, proof = token_of(link).partition("-")
    assert (len(link_id), len(proof)) == (16, 26)


def test_nothing_in_the_row_opens_it(link: PrivateLink) -> None:
    assert not opens(link.id)
    assert not opens(f"{link.id}-")
    assert not opens(f"{link.id}-{link.version}")


def test_every_changed_sign_of_a_token_is_refused(link: PrivateLink) -> None:
    token = token_of(link)
    for place in range(len(token)):
        other = "b" if token[place] == "a" else "a"
        assert not opens(token[:place] + other + token[place + 1 :])


@pytest.mark.parametrize("guess", ["", "-", "x", "a" * 500, "é-é", "\x00-\x00", "a-b-c"])
def test_nonsense_opens_nothing(link: PrivateLink, guess: str) -> None:
    assert not opens(guess)


def test_proof_made_with_another_key_is_refused(link: PrivateLink) -> None:
    assert not opens(links.token(link.id, link.version, "another key"))


def test_link_of_another_scope_is_refused(link: PrivateLink) -> None:
    assert not opens(token_of(link), Scope.HILT)


def test_proof_of_another_link_is_refused(link: PrivateLink, now: datetime) -> None:
    other = actions.link_for(Scope.ORDER, "order:8", now)
    assert not opens(f"{other.id}-{links.split(token_of(link))[1]}")


def test_last_day_still_opens_and_the_next_does_not(link: PrivateLink, now: datetime) -> None:
    actions.keep_open_until(link, TODAY)
    assert opens(token_of(link), today=TODAY)
    assert not opens(token_of(link), today=TODAY + timedelta(days=1))


def test_revoked_link_is_refused(link: PrivateLink, now: datetime) -> None:
    token = token_of(link)
    actions.revoke(link, None, now)
    assert not opens(token)


def test_renewed_link_opens_by_its_new_token_alone(link: PrivateLink, now: datetime) -> None:
    old = token_of(link)
    actions.revoke(link, None, now)
    actions.renew(link, None, now)
    assert not opens(old)
    assert opens(token_of(link))


def test_unknown_link_costs_as_many_queries_as_a_known_one(
    link: PrivateLink, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for token in (token_of(link), links.token(links.new_id(), 1, "k")):
        with django_assert_num_queries(1):
            opens(token)


def test_address_is_under_the_public_one(link: PrivateLink, house: House) -> None:
    house.public_url = "https://larkhill.example/"
    url = queries.url_of(link, house)
    assert url == f"https://larkhill.example/your/order/{token_of(link)}/"


def test_shop_without_public_address_has_no_links(link: PrivateLink, house: House) -> None:
    house.public_url = ""
    assert queries.url_of(link, house) is None


def test_revoked_link_has_no_address(link: PrivateLink, house: House, now: datetime) -> None:
    actions.revoke(link, None, now)
    assert queries.url_of(link, house) is None


def test_new_key_kills_every_link(link: PrivateLink, settings: Settings) -> None:
    token = token_of(link)
    settings.LINK_KEY = "k" * 40
    assert not opens(token)
