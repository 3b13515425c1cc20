"""The page of the feeds: made, shown to the one who made it, revoked."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.feeds.actions import MOST_FEEDS, Overtaken, make_feed, revoke_feed
from builds.feeds.models import Feed
from shop.history.models import Entry
from shop.house.models import House
from shop.people.models import User
from tests.feeds.reading import path_of
from tests.makers import at_once

pytestmark = pytest.mark.django_db
PAGE = "/feeds/"


def page(client: Client) -> str:
    return client.get(PAGE).content.decode()


def make(client: Client, name: str = "my phone", token: UUID | None = None) -> Any:
    return client.post(PAGE, {"name": name, "token": token or uuid4()})


def revoke(client: Client, feed: Feed) -> Any:
    return client.post(reverse("feeds_revoke", args=[feed.pk]), follow=True)


def test_page_without_a_feed_says_what_one_is_for(owner_client: Client) -> None:
    assert "No feed yet" in page(owner_client)


@pytest.mark.parametrize("who", ["owner_client", "bench_client"])
def test_feed_is_made_and_its_address_shown(request: pytest.FixtureRequest, who: str) -> None:
    client: Client = request.getfixturevalue(who)
    assert make(client).status_code == 303
    feed = Feed.objects.get()
    shown = page(client)
    assert f"https://larkhill.example{path_of(feed)}" in shown
    assert f"webcal://larkhill.example{path_of(feed)}" in shown
    assert "not read yet" in shown
    entry = Entry.objects.get(verb="feed_made")
    assert entry.about == f"staff:{feed.person_id}"
    assert entry.parameters == {}


def test_address_stays_the_same_each_time_it_is_shown(owner_client: Client, feed: Feed) -> None:
    assert path_of(feed) in page(owner_client)
    assert path_of(Feed.objects.get()) in page(owner_client)


def test_double_tap_makes_one(bench_client: Client) -> None:
    token = uuid4()
    assert {make(bench_client, token=token).status_code for _ in range(2)} == {303}
    assert Feed.objects.count() == 1


def test_feed_without_a_name_is_asked_for_one(bench_client: Client) -> None:
    answer = make(bench_client, name=" ")
    assert answer.status_code == 422
    assert not Feed.objects.exists()


def test_name_that_is_too_long_stays_in_its_field(bench_client: Client) -> None:
    answer = make(bench_client, name="p" * 41)
    assert answer.status_code == 422
    assert "p" * 41 in answer.content.decode()


def test_eleventh_feed_is_refused_in_words(bench_client: Client, bench_hand: User) -> None:
    for _ in range(MOST_FEEDS):
        make(bench_client)
    answer = make(bench_client, name="watch")
    assert answer.status_code == 422
    assert "You have ten feeds already." in answer.content.decode()
    assert 'value="watch"' in answer.content.decode()


def test_name_is_shown_as_it_was_typed(owner_client: Client) -> None:
    make(owner_client, name="<b>phone</b>")
    assert "&lt;b&gt;phone" in page(owner_client)


def test_bench_sees_its_own_feeds_alone(
    bench_client: Client, bench_hand: User, feed: Feed, now: datetime
) -> None:
    own = make_feed("tablet", token=uuid4(), by=bench_hand, now=now)
    shown = page(bench_client)
    assert path_of(own) in shown
    assert "Oda" not in shown
    assert path_of(feed) not in shown


def test_owner_sees_everybodys_and_no_address_of_theirs(
    owner_client: Client, bench_hand: User, now: datetime
) -> None:
    theirs = make_feed("wall jotter", token=uuid4(), by=bench_hand, now=now)
    shown = page(owner_client)
    assert "tablet" in shown
    assert "Jory" in shown
    assert path_of(theirs) not in shown


def test_owner_revokes_anybodys(
    owner_client: Client, bench_client: Client, bench_hand: User, now: datetime
) -> None:
    theirs = make_feed("wall jotter", token=uuid4(), by=bench_hand, now=now)
    assert "Revoked." in revoke(owner_client, theirs).content.decode()
    assert Client().get(path_of(theirs)).status_code == 404
    assert "wall jotter" not in page(bench_client)
    assert Entry.objects.get(verb="feed_revoked").about == f"staff:{bench_hand.pk}"


def test_bench_revokes_its_own_and_no_other(
    bench_client: Client, bench_hand: User, feed: Feed, now: datetime
) -> None:
    own = make_feed("tablet", token=uuid4(), by=bench_hand, now=now)
    assert revoke(bench_client, feed).status_code == 404
    assert "Revoked." in revoke(bench_client, own).content.decode()
    feed.refresh_from_db()
    assert feed.revoked_at is None


def test_other_tablet_hears_who_was_first(
    owner_client: Client, bench_client: Client, bench_hand: User, now: datetime
) -> None:
    own = make_feed("tablet", token=uuid4(), by=bench_hand, now=now)
    revoke(owner_client, own)
    assert (
        "Oda was first: this feed is revoked already." in revoke(bench_client, own).content.decode()
    )
    assert Entry.objects.filter(verb="feed_revoked").count() == 1


def test_double_tap_revokes_once(owner_client: Client, feed: Feed) -> None:
    for _ in range(2):
        assert "Revoked." in revoke(owner_client, feed).content.decode()
    assert Entry.objects.filter(verb="feed_revoked").count() == 1


def test_revoked_feed_is_shown_no_more(owner_client: Client, feed: Feed) -> None:
    revoke(owner_client, feed)
    assert path_of(feed) not in page(owner_client)


def test_day_of_the_last_reading_is_shown(owner_client: Client, feed: Feed) -> None:
    Client().get(path_of(feed))
    assert "last read today" in page(owner_client)


def test_shop_without_a_public_address_says_where_it_works(
    owner_client: Client, feed: Feed
) -> None:
    House.objects.update(public_url="")
    shown = page(owner_client)
    assert "only while it is in the house" in shown
    assert f"http://192.0.2.10:8000{path_of(feed)}" in shown
    assert f"webcal://192.0.2.10:8000{path_of(feed)}" in shown


def test_shop_that_no_phone_can_reach_offers_none_to_open_it(
    owner_client: Client, feed: Feed
) -> None:
    House.objects.update(public_url="", bench_url="")
    shown = owner_client.get(PAGE, headers={"host": "localhost:8000"}).content.decode()
    assert "on this machine alone" in shown
    assert f"http://localhost:8000{path_of(feed)}" in shown
    assert "webcal:" not in shown


@pytest.mark.parametrize("which", ["desk_hours", "desk_closures"])
def test_settings_of_days_lead_to_the_feeds(owner_client: Client, which: str) -> None:
    assert f'href="{PAGE}"' in owner_client.get(reverse(which)).content.decode()


@pytest.mark.parametrize("which", ["people_take_over", "bench_dispatch", "bench_help"])
def test_bench_finds_the_way(bench_client: Client, which: str) -> None:
    assert f'href="{PAGE}"' in bench_client.get(reverse(which)).content.decode()


@pytest.mark.django_db(transaction=True)
def test_two_tablets_revoke_at_once(owner: User, bench_hand: User, now: datetime) -> None:
    own = make_feed("tablet", token=uuid4(), by=bench_hand, now=now)
    late = []

    def tap(by: User) -> None:
        try:
            revoke_feed(own.pk, by=by, now=now + timedelta(seconds=1))
        except Overtaken as error:
            late.append(str(error))

    at_once(lambda: tap(owner), lambda: tap(bench_hand))
    assert len(late) == 1
    assert Entry.objects.filter(verb="feed_revoked").count() == 1


@pytest.mark.django_db(transaction=True)
def test_two_calendars_read_at_once(feed: Feed) -> None:
    got: list[bytes] = []
    at_once(*(lambda: got.append(Client().get(path_of(feed)).content) for _ in range(3)))
    assert len(set(got)) == 1
