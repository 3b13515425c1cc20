"""At the counter: who takes a hilt, what goes back, and that nothing is done by halves."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.intake import actions as intake
from builds.intake.models import Belonging
from builds.models import Build
from builds.progress.states import State
from shop.models import Entry, User
from tests.bench import stands
from tests.bench.pages import tap, words
from tests.makers import at_once, check_cell, make_arrival


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return stands.to_pack(owner, now, "collection")


@pytest.fixture
def thing(build: Build, owner: User, now: datetime) -> Belonging:
    arrival = make_arrival(owner, now)
    intake.match(arrival, build, owner, now)
    return Belonging.objects.create(arrival=arrival, build=build, what="blade plug")


def hand_over(client: Client, build: Build, **more: Any) -> Any:
    fields = {"token": uuid4(), "expected": "dispatch", "who": "Wren Aldous", **more}
    return tap(client, f"/build/{build.number}/collect/", **fields)


def state_of(build: Build) -> str:
    return Build.objects.get(pk=build.pk).state


def test_customer_takes_it_along_without_a_parcel(bench_client: Client, build: Build) -> None:
    reply = hand_over(bench_client, build, signed="on", note="paid in cash")
    assert "is handed over." in words(reply)
    assert state_of(build) == State.COLLECTED
    assert build.moves.get().reason == "by the customer; signed on paper; paid in cash"


def test_own_name_of_the_customer_stays_out_of_history(bench_client: Client, build: Build) -> None:
    hand_over(bench_client, build, who="wren aldous")
    assert "aldous" not in str(list(Entry.objects.values_list("parameters", flat=True))).casefold()


def test_somebody_sent_is_named(bench_client: Client, build: Build) -> None:
    hand_over(bench_client, build, who="Ash, her brother")
    assert "by Ash, her brother" in words(bench_client.get(f"/build/{build.number}/"))


def test_belongings_go_back_by_the_same_tap(
    bench_client: Client, build: Build, thing: Belonging, now: datetime
) -> None:
    hand_over(bench_client, build, **{f"back_{thing.pk}": "on"})
    thing.refresh_from_db()
    assert thing.returned_at == now
    assert state_of(build) == State.COLLECTED


def test_belonging_that_stays_says_why(
    bench_client: Client, build: Build, thing: Belonging
) -> None:
    hand_over(bench_client, build, **{f"stays_{thing.pk}": "it is broken"})
    thing.refresh_from_db()
    assert thing.kept_because == "it is broken"


def test_belonging_that_is_forgotten_is_asked_for(
    bench_client: Client, build: Build, thing: Belonging
) -> None:
    reply = hand_over(bench_client, build)
    assert reply.status_code == 422
    assert "Back to them, or why does it stay?" in words(reply)
    assert 'value="Wren Aldous"' in reply.content.decode()
    assert state_of(build) == State.DISPATCH


def test_nobody_named_is_asked_for(bench_client: Client, build: Build) -> None:
    reply = hand_over(bench_client, build, who="")
    assert "Write down who takes it along." in words(reply)


def test_damaged_cell_is_not_handed_out(
    bench_client: Client, build: Build, thing: Belonging, owner: User, now: datetime
) -> None:
    check_cell(build, owner, now, "aside")
    reply = hand_over(bench_client, build, **{f"back_{thing.pk}": "on"})
    assert reply.status_code == 422
    assert "set aside as damaged" in words(reply)
    thing.refresh_from_db()
    assert thing.returned_at is None
    assert state_of(build) == State.DISPATCH


def test_double_tap_hands_over_once(bench_client: Client, build: Build) -> None:
    token = uuid4()
    for _ in range(2):
        assert "is handed over." in words(hand_over(bench_client, build, token=token))
    assert build.moves.count() == 1


def test_what_leaves_by_post_is_sent_back_to_its_sheet(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = stands.to_pack(owner, now)
    reply = bench_client.get(f"/build/{build.number}/collect/", follow=True)
    assert "does not wait to be collected" in words(reply)


@pytest.mark.django_db(transaction=True)
def test_two_tablets_hand_over_once(build: Build, thing: Belonging, owner: User) -> None:
    def tablet() -> Any:
        client = Client()
        client.force_login(owner)
        return hand_over(client, build, **{f"back_{thing.pk}": "on"})

    answers = at_once(tablet, tablet)
    assert not [one for one in answers if isinstance(one, Exception)]
    assert build.moves.count() == 1
    assert Entry.objects.filter(verb="belonging_returned").count() == 1
