"""The slots page: reads as the card does, keeps what was typed, is nobody's but the staff's."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.progress.models import Build
from builds.progress.states import State
from builds.sounds.actions import add_slot
from builds.sounds.models import Slot
from builds.sounds.words import USUAL, colour_word
from shop.models import User
from tests.bench.pages import hidden, tap, words
from tests.makers import make_build, make_customer

EMBER: dict[str, Any] = {"place": 1, "name": "Ember", "colour": "#ff4000", "look": "flickering"}


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEARDOWN)


def page_of(build: Build) -> str:
    return f"/build/{build.number}/slots/"


def test_slot_is_added_by_a_bench_hand(bench_client: Client, build: Build) -> None:
    here = page_of(build)
    token = hidden(bench_client.get(here).content.decode(), "token")
    answer = tap(bench_client, f"{here}add/", **EMBER, token=token)
    assert "The slot is kept." in words(answer)
    assert "Ember orange, flickering" in words(answer)


def test_usual_colour_counts_before_the_chosen_one(owner_client: Client, build: Build) -> None:
    tap(owner_client, f"{page_of(build)}add/", **EMBER, usual="#0000ff", token=uuid4())
    assert Slot.objects.get().colour == "#0000ff"


def test_refusal_stands_beside_the_field_and_nothing_typed_is_lost(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    add_slot(build.pk, EMBER, token=uuid4(), by=owner, now=now)
    answer = owner_client.post(
        f"{page_of(build)}add/", {**EMBER, "name": "Cinder", "token": uuid4()}
    )
    assert answer.status_code == 422
    assert "Place 1 holds “Ember”. Choose another." in words(answer)
    assert 'value="Cinder"' in answer.content.decode()


def test_colour_that_is_none_is_refused_in_words(owner_client: Client, build: Build) -> None:
    answer = owner_client.post(
        f"{page_of(build)}add/", {**EMBER, "colour": "teal", "token": uuid4()}
    )
    assert answer.status_code == 422
    assert "A colour looks like #1b4c99." in words(answer)


def test_other_tablets_change_is_told_beside_the_form(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    add_slot(build.pk, EMBER, token=uuid4(), by=owner, now=now)
    slot = Slot.objects.get()
    name = f"slot-{slot.pk}"
    fields = {f"{name}-{field}": value for field, value in EMBER.items()}
    stale = {**fields, f"{name}-name": "Coal", f"{name}-seen": "1|Spark|#ff4000|steady"}
    answer = owner_client.post(f"{page_of(build)}{slot.pk}/", stale)
    assert answer.status_code == 422
    assert "Oda was first: Slot 1 added: Ember." in words(answer)
    assert 'value="Coal"' in answer.content.decode()


def test_another_customers_builds_are_not_offered(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    other = make_build(owner, now, customer=make_customer(now, "Abel"))
    add_slot(other.pk, EMBER, token=uuid4(), by=owner, now=now)
    assert "Take over slots" not in words(owner_client.get(page_of(build)))
    answer = owner_client.post(f"{page_of(build)}copy/", {"source": other.pk, "token": uuid4()})
    assert answer.status_code == 422
    assert Slot.objects.filter(build=build).count() == 0


def test_slot_of_another_build_is_not_found_under_this_one(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    other = make_build(owner, now)
    add_slot(other.pk, EMBER, token=uuid4(), by=owner, now=now)
    slot = Slot.objects.get()
    answer = owner_client.post(f"{page_of(build)}{slot.pk}/end/", {"seen": "x"})
    assert answer.status_code == 404


def test_cap_is_kept(owner_client: Client, build: Build) -> None:
    answer = tap(owner_client, f"{page_of(build)}brightness/", percent=60, seen=100)
    assert "60 %" in words(answer)


@pytest.mark.parametrize(
    ("colour", "word"),
    [
        ("#ff0000", "red"), ("#f00505", "red"), ("#ffffff", "white"), ("#808080", "dim white"),
        ("#000000", "dark"), ("#1b4c99", "sky blue"), ("#200000", "dim red"),
        ("#a0c8ff", "pale sky blue"), ("#ff0030", "red"),
    ],
)  # fmt: skip
def test_colour_is_called_by_a_word(colour: str, word: str) -> None:
    assert colour_word(colour) == word


@pytest.mark.parametrize(
    ("colour", "word"),
    [
        ("#ffa020", "amber"), ("#7fffd4", "pale sea green"), ("#4b0082", "dim violet"),
        ("#daa520", "amber"), ("#0070ff", "sky blue"), ("#ff69b4", "pink"), ("#0a0a0a", "dark"),
        ("#f5f5dc", "white"), ("#006400", "dim green"), ("#ffe0e0", "white"),
    ],
)  # fmt: skip
def test_colour_is_called_as_the_eye_finds_it_nearest(colour: str, word: str) -> None:
    assert colour_word(colour) == word


def test_every_usual_colour_is_called_by_its_own_name() -> None:
    assert {colour: colour_word(colour) for colour in USUAL} == {
        colour: str(word) for colour, word in USUAL.items()
    }
