"""What the secret address opens, for whom, and what it answers where it opens nothing."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.http import HttpResponse
from django.test import Client
from pytest_django import Settings

from builds.feeds.actions import make_feed, revoke_feed
from builds.feeds.models import Feed
from shop.people.models import User
from shop.web.logs import without_tokens
from shop.web.models import Throttle
from shop.web.watched import HEADER
from tests.feeds.reading import Clock, path_of

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]
UNKNOWN = "/your/calendar/abcdefghijklmnop-abcdefghijklmnopqrstuvwxyz.ics"


def seen(answer: HttpResponse) -> tuple[int, bytes, dict[str, str], list[str]]:
    """All that a caller gets, but for the date and the request's number, new each time."""
    headers = {name: said for name, said in answer.headers.items() if name != HEADER}
    return answer.status_code, answer.content, headers, list(answer.cookies)


def test_calendar_reads_without_signing_in(stranger: Client, feed: Feed) -> None:
    answer = stranger.get(path_of(feed))
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer["Cache-Control"] == "private, no-cache"
    assert answer["X-Robots-Tag"] == "noindex, nofollow"
    assert answer["Referrer-Policy"] == "no-referrer"


@pytest.mark.parametrize("who", ["stranger", "owner_client", "bench_client"])
def test_nobody_gets_a_cookie(feed: Feed, request: pytest.FixtureRequest, who: str) -> None:
    client: Client = request.getfixturevalue(who)
    assert not client.get(path_of(feed)).cookies
    assert not client.get(UNKNOWN).cookies


def test_looking_at_the_head_alone_is_enough(stranger: Client, feed: Feed) -> None:
    whole, head = stranger.get(path_of(feed)), stranger.head(path_of(feed))
    assert (head.status_code, head.content) == (200, b"")
    assert head["ETag"] == whole["ETag"]


@pytest.mark.parametrize("method", ["post", "put", "delete", "patch", "options"])
def test_nothing_but_reading_is_answered(stranger: Client, feed: Feed, method: str) -> None:
    answers = [getattr(stranger, method)(path) for path in (path_of(feed), UNKNOWN)]
    assert {answer.status_code for answer in answers} == {405}
    assert seen(answers[0]) == seen(answers[1])


@pytest.mark.parametrize("method", ["get", "head"])
def test_revoked_address_answers_like_an_unknown_one(
    stranger: Client, feed: Feed, owner: User, now: datetime, method: str
) -> None:
    assert getattr(stranger, method)(path_of(feed)).status_code == 200
    revoke_feed(feed.pk, by=owner, now=now)
    revoked, unknown = (getattr(stranger, method)(path) for path in (path_of(feed), UNKNOWN))
    assert revoked.status_code == 404
    assert seen(revoked) == seen(unknown)


def test_calendar_that_knows_a_revoked_feed_hears_no_more_of_it(
    stranger: Client, feed: Feed, owner: User, now: datetime
) -> None:
    had = stranger.get(path_of(feed))["ETag"]
    revoke_feed(feed.pk, by=owner, now=now)
    again = stranger.get(path_of(feed), headers={"If-None-Match": had})
    assert seen(again) == seen(stranger.get(UNKNOWN, headers={"If-None-Match": had}))


def test_feed_of_somebody_who_left_answers_like_an_unknown_one(
    stranger: Client, bench_hand: User, now: datetime
) -> None:
    feed = make_feed("old phone", token=uuid4(), by=bench_hand, now=now)
    User.objects.filter(pk=bench_hand.pk).update(is_active=False)
    assert seen(stranger.get(path_of(feed))) == seen(stranger.get(UNKNOWN))


NONSENSE = ["x", "-", "a-b", "å-ß", "a" * 400, "%00-%00", "abcdefghijklmnop-"]


@pytest.mark.parametrize("wrong", NONSENSE)
def test_nonsense_opens_nothing(stranger: Client, wrong: str) -> None:
    assert seen(stranger.get(f"/your/calendar/{wrong}.ics")) == seen(stranger.get(UNKNOWN))


def test_every_changed_sign_of_the_address_is_refused(stranger: Client, feed: Feed) -> None:
    before, _, name = path_of(feed).rpartition("/")
    token = name.removesuffix(".ics")
    for place in range(0, len(token), 7):
        other = "b" if token[place] == "a" else "a"
        wrong = token[:place] + other + token[place + 1 :]
        assert stranger.get(f"{before}/{wrong}.ics").status_code == 404


def test_nothing_in_the_row_opens_it(stranger: Client, feed: Feed) -> None:
    kept = [str(value) for value in Feed.objects.values_list().get()]
    token = path_of(feed).rpartition("/")[2].removesuffix(".ics")
    assert token.partition("-")[2] not in "".join(kept)
    assert stranger.get(f"/your/calendar/{feed.address_id}.ics").status_code == 404


def test_another_key_opens_nothing(stranger: Client, feed: Feed, settings: Settings) -> None:
    path = path_of(feed)
    settings.LINK_KEY = "k" * 40
    assert stranger.get(path).status_code == 404


@pytest.mark.parametrize("cut", [0, 4, 30])
def test_address_stays_out_of_the_log(feed: Feed, cut: int) -> None:
    path = path_of(feed)
    path = path[: len(path) - cut]
    said = without_tokens(f"Not Found: {path}")
    assert path.rpartition("/")[2] not in said
    assert said == "Not Found: /your/calendar/[hidden]"


def test_guesses_are_counted_and_a_right_address_is_let_in_all_the_same(
    stranger: Client, feed: Feed, clock: Clock
) -> None:
    told = [stranger.get(UNKNOWN).status_code for _ in range(22)]
    assert told == [404] * 20 + [429] * 2
    assert stranger.get(path_of(feed)).status_code == 200
    clock.moment += timedelta(minutes=11)
    assert stranger.get(UNKNOWN).status_code == 404


def test_right_address_is_not_counted(stranger: Client, feed: Feed) -> None:
    stranger.get(path_of(feed))
    assert not Throttle.objects.exists()


def test_day_of_reading_is_kept_once_a_day(stranger: Client, feed: Feed, clock: Clock) -> None:
    stranger.get(path_of(feed))
    feed.refresh_from_db()
    assert str(feed.last_read_on) == "2026-11-25"
    clock.moment = datetime(2026, 6, 30, 23, 30, tzinfo=UTC)  # past midnight in the shop
    stranger.get(path_of(feed))
    feed.refresh_from_db()
    assert str(feed.last_read_on) == "2026-07-01"
