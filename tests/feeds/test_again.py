"""A calendar that reads again: the same bytes, or what changed under the name that it knows."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.feeds.models import Feed, FeedEvent
from builds.models import Build
from builds.progress.states import State
from builds.queue.actions import promise
from shop.diary.actions import add_closure
from shop.house.models import House
from shop.people.models import User
from tests.feeds.reading import Clock, body, events_of, facts_of, path_of
from tests.makers import FRIDAY, make_build, make_tray

pytestmark = pytest.mark.django_db
WEEK = timedelta(days=7)
SOON = timedelta(minutes=15)


@pytest.fixture
def promised(owner: User, now: datetime, clock: Clock) -> Build:
    build = make_build(owner, now, State.INSTALL)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    return build


def facts(client: Client, feed: Feed, build: Build) -> dict[str, object]:
    return facts_of(events_of(body(client, feed))[f"{build} {build.hilt}: promised"])


def test_same_data_are_the_same_bytes(
    stranger: Client, feed: Feed, promised: Build, clock: Clock
) -> None:
    first = body(stranger, feed)
    clock.moment += SOON
    assert body(stranger, feed) == first


def test_every_feed_of_a_shop_tells_the_same(
    stranger: Client, feed: Feed, promised: Build, bench_hand: User, now: datetime
) -> None:
    from_first = body(stranger, feed)
    other = Feed.objects.create(
        person=bench_hand, name="x", address_id="abcdefghijklmnop", token=UUID(int=1), made_at=now
    )
    assert body(stranger, other) == from_first


def test_promise_that_moved_keeps_its_name(
    stranger: Client, feed: Feed, promised: Build, owner: User, now: datetime, clock: Clock
) -> None:
    before = facts(stranger, feed, promised)
    clock.moment = later = now + SOON
    promise(promised, FRIDAY + WEEK, reason="", by=owner, now=later)
    after = facts(stranger, feed, promised)
    assert after["uid"] == before["uid"]
    assert (before["sequence"], after["sequence"]) == (0, 1)
    assert (before["stamp"], after["stamp"]) == (now, later)
    assert after["modified"] == later


def test_what_did_not_change_is_told_as_before(
    stranger: Client, feed: Feed, promised: Build, owner: User, now: datetime, clock: Clock
) -> None:
    before = facts(stranger, feed, promised)
    clock.moment = now + SOON
    add_closure(date(2027, 1, 4), date(2027, 1, 8), "", by=owner, now=now)
    assert facts(stranger, feed, promised) == before


def test_build_whose_ending_was_taken_back_comes_again_under_its_name(
    stranger: Client, feed: Feed, promised: Build, now: datetime, clock: Clock
) -> None:
    before = facts(stranger, feed, promised)
    clock.moment = now + SOON
    Build.objects.update(state=State.SENT, tray=None)
    body(stranger, feed)
    clock.moment = now + 2 * SOON
    Build.objects.update(state=State.INSTALL, tray=make_tray())
    after = facts(stranger, feed, promised)
    assert after["uid"] == before["uid"]
    assert after["sequence"] == 2


def test_clock_that_was_set_back_makes_nothing_older(
    stranger: Client, feed: Feed, promised: Build, owner: User, now: datetime, clock: Clock
) -> None:
    facts(stranger, feed, promised)
    clock.moment = now - timedelta(hours=2)
    promise(promised, FRIDAY + WEEK, reason="", by=owner, now=clock.moment)
    assert facts(stranger, feed, promised)["modified"] == now


def test_calendar_that_has_it_already_is_sent_nothing(
    stranger: Client, feed: Feed, promised: Build, now: datetime, clock: Clock
) -> None:
    body(stranger, feed)
    clock.moment = now + SOON
    had = stranger.get(path_of(feed))
    assert had["Last-Modified"] == "Wed, 25 Nov 2026 10:40:00 GMT"
    for known in (
        {"If-None-Match": had["ETag"]},
        {"If-None-Match": f"W/{had['ETag']}"},
        {"If-Modified-Since": had["Last-Modified"]},
        {"If-None-Match": had["ETag"], "If-Modified-Since": "Thu, 01 Jan 1970 00:00:00 GMT"},
    ):
        answer = stranger.get(path_of(feed), headers=known)
        assert (answer.status_code, answer.content) == (304, b"")
        assert answer["ETag"] == had["ETag"]
        assert answer["Cache-Control"] == "private, no-cache"
        assert not answer.cookies


def test_calendar_that_has_an_older_one_is_sent_the_new_one(
    stranger: Client, feed: Feed, promised: Build, owner: User, now: datetime, clock: Clock
) -> None:
    body(stranger, feed)
    clock.moment = now + SOON
    had = stranger.get(path_of(feed))
    clock.moment = now + 2 * SOON
    promise(promised, FRIDAY + WEEK, reason="", by=owner, now=clock.moment)
    for known in (
        {"If-None-Match": had["ETag"]},
        {"If-Modified-Since": had["Last-Modified"]},
    ):
        assert stranger.get(path_of(feed), headers=known).status_code == 200


def test_what_dropped_out_is_a_change_too(
    stranger: Client, feed: Feed, promised: Build, now: datetime, clock: Clock
) -> None:
    body(stranger, feed)
    clock.moment = now + SOON
    had = stranger.get(path_of(feed))["Last-Modified"]
    Build.objects.update(state=State.SENT, tray=None)
    assert stranger.get(path_of(feed), headers={"If-Modified-Since": had}).status_code == 200


def test_second_in_which_it_changed_tells_no_calendar_when(
    stranger: Client, feed: Feed, promised: Build
) -> None:
    assert "Last-Modified" not in stranger.get(path_of(feed))


def test_shop_of_another_name_is_sent_anew(
    stranger: Client, feed: Feed, promised: Build, clock: Clock
) -> None:
    had = stranger.get(path_of(feed))["ETag"]
    House.objects.update(name="Larkhill, Søn & Co.")
    assert stranger.get(path_of(feed), headers={"If-None-Match": had}).status_code == 200


def test_day_that_passed_is_forgotten_after_a_year(
    stranger: Client, feed: Feed, clock: Clock, now: datetime
) -> None:
    body(stranger, feed)
    for years in (1, 2, 3):
        clock.moment = now + years * timedelta(days=500)
        body(stranger, feed)
    known = FeedEvent.objects.filter(key__startswith="dispatch:").order_by("key")
    assert known[0].key >= "dispatch:2029"


def asked(client: Client, feed: Feed) -> list[str]:
    """What reading it asks of the database."""
    with CaptureQueriesContext(connection) as log:
        body(client, feed)
    return [query["sql"] for query in log.captured_queries]


def test_reading_again_costs_the_same_however_full_the_shop_is(
    stranger: Client, feed: Feed, owner: User, now: datetime, clock: Clock
) -> None:
    took = []
    for builds in (1, 30):
        for _ in range(builds):
            build = make_build(owner, now, State.INSTALL)
            promise(build, FRIDAY, reason="", by=owner, now=now)
        body(stranger, feed)
        took.append(asked(stranger, feed))
    assert len(took[0]) == len(took[1]) <= 13
    assert all(sql.startswith("SELECT") for sql in took[1])


def test_telling_news_costs_the_same_however_much_of_it_there_is(
    stranger: Client, feed: Feed, owner: User, now: datetime, clock: Clock
) -> None:
    took = []
    for builds in (1, 30):
        body(stranger, feed)
        for _ in range(builds):
            build = make_build(owner, now, State.INSTALL)
            promise(build, FRIDAY, reason="", by=owner, now=now)
        took.append(len(asked(stranger, feed)))
    assert took[0] == took[1]


def test_moment_of_a_change_is_told_in_utc(
    stranger: Client, feed: Feed, promised: Build, clock: Clock
) -> None:
    House.objects.update(zone_name="Asia/Kolkata")
    assert facts(stranger, feed, promised)["stamp"] == datetime(2026, 11, 25, 10, 40, tzinfo=UTC)
