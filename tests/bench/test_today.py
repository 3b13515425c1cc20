"""Today: each thing that wants the shop stands there for its cause, and goes with it."""

from datetime import date, datetime, timedelta

import pytest
from django.test import Client

from builds.intake import actions as intake
from builds.models import Build
from builds.progress import actions as progress
from builds.progress.states import State
from builds.queue.actions import promise
from builds.queue.models import Promise
from shop.models import Message, User
from shop.post.actions import log_said, queue_message
from shop.post.models import State as Post
from tests.bench import stands
from tests.bench.conftest import Clock
from tests.bench.pages import row, tap, words
from tests.makers import make_arrival, make_build, make_parcel, put_on_hold

FRIDAY = date(2026, 11, 27)


@pytest.fixture
def told(owner: User, now: datetime) -> Build:
    """A build at work whose customer was told a day that has passed since."""
    build = stands.at_work(owner, now, State.INSTALL)
    before = now - timedelta(days=9)
    Promise.objects.create(build=build, day=date(2026, 11, 23), at=before, by=owner)
    return build


def today(client: Client) -> str:
    return words(client.get("/"))


def test_nothing_wants_anybody_in_an_empty_shop(bench_client: Client) -> None:
    assert "Nothing wants you" in today(bench_client)


def test_first_thing_wanted_is_the_one_filled_deed(
    bench_client: Client, owner: User, now: datetime
) -> None:
    make_arrival(owner, now)
    make_arrival(owner, now)
    assert bench_client.get("/").content.decode().count('class="button go"') == 1


def test_parcel_without_a_build_wants_until_it_is_placed(
    bench_client: Client, owner: User, now: datetime
) -> None:
    arrival, build = make_arrival(owner, now), make_build(owner, now)
    assert "A parcel that nobody has placed" in today(bench_client)
    intake.match(arrival, build, owner, now)
    assert "nobody has placed" not in today(bench_client)


def test_message_that_failed_wants_until_it_left(
    bench_client: Client, build: Build, now: datetime
) -> None:
    message = queue_message(
        key="k", occasion="free", about="x", to="i@example.com", subject="s", body="b", now=now
    )
    Message.objects.filter(pk=message.pk).update(state=Post.FAILED)
    assert "1 message did not leave" in today(bench_client)
    Message.objects.filter(pk=message.pk).update(state=Post.SENT)
    assert "did not leave" not in today(bench_client)


def test_late_build_wants_until_a_new_day_is_told(
    bench_client: Client, told: Build, owner: User, now: datetime
) -> None:
    assert "late: due Mon 23 Nov" in today(bench_client)
    promise(told, date(2026, 12, 14), reason="", by=owner, now=now)
    assert "late: due" not in today(bench_client)


def test_day_that_is_near_wants_until_the_build_is_in_dispatch(
    bench_client: Client, told: Build, owner: User, now: datetime
) -> None:
    promise(told, FRIDAY, reason="", by=owner, now=now)
    assert "due Fri 27 Nov, still in install" in today(bench_client)
    Build.objects.filter(pk=told.pk).update(state=State.DISPATCH)
    assert "still in" not in today(bench_client)


def test_hold_wants_from_the_day_of_asking_again(
    bench_client: Client, build: Build, owner: User, now: datetime, clock: Clock
) -> None:
    put_on_hold(build, owner, now)
    assert "Ask again" not in today(bench_client)
    clock.at = now + timedelta(days=5)
    assert "Ask again" in today(bench_client)


def test_hold_that_is_over_wants_nothing(
    bench_client: Client, build: Build, owner: User, now: datetime, clock: Clock
) -> None:
    held = put_on_hold(build, owner, now)
    clock.at = now + timedelta(days=5)
    progress.end_hold(held.pk, by=owner, now=clock.at)
    assert "Ask again" not in today(bench_client)


def test_customer_wants_word_after_ten_days(
    bench_client: Client, build: Build, now: datetime, clock: Clock
) -> None:
    clock.at = now + timedelta(days=10, minutes=-1)
    assert "has heard nothing" not in today(bench_client)
    clock.at = now + timedelta(days=10)
    assert "Ines has heard nothing for 10 days" in today(bench_client)


def test_customer_who_was_told_has_heard(
    bench_client: Client, build: Build, owner: User, now: datetime, clock: Clock
) -> None:
    clock.at = now + timedelta(days=12)
    customer = build.item.order.customer
    log_said(about=build.about, body="Soon.", made_by=owner, now=clock.at, customer=customer)
    assert "has heard nothing" not in today(bench_client)


def test_build_that_one_tap_takes_further_is_taken_there(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = stands.in_teardown(owner, now)
    assert "Start teardown" in row(bench_client.get("/"), build)
    answer = tap(bench_client, f"/build/{build.number}/start/", expected="teardown", next="/")
    assert "is started" in words(answer)
    assert "Start teardown" not in row(answer, build)


def test_next_dispatch_day_is_counted(bench_client: Client, owner: User, now: datetime) -> None:
    make_parcel([stands.to_pack(owner, now)], owner, now)
    said = today(bench_client)
    assert "Next dispatch: Friday 27 November" in said
    assert "to leave 1 packed 1 in danger 0" in said
