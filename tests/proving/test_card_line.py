"""The line of the card says that a card was held against its list, and leads there else."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from builds.models import Build
from builds.progress.states import State
from builds.proving import actions as proving
from builds.sounds.actions.cards import check_card, list_card
from builds.sounds.models import Slot
from shop.models import User
from tests.bench.pages import words
from tests.makers import make_build
from tests.sounds.making import make_set, sine, wave

pytestmark = pytest.mark.django_db
SAID = "Held against its list: every file is the same. Oda"


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    made = make_build(owner, now, State.TEST, kind="full")
    held = make_set({"hum.wav": wave(sine(-24.0))}, owner, now)
    Slot.objects.create(build=made, place=1, name="Ember", colour="#ff4000", sound_set=held)
    proving.begin_run(made.pk, seen=0, token=uuid4(), by=owner, now=now)
    return made


def page(client: Client, build: Build) -> str:
    return words(client.get(f"/build/{build.number}/test/"))


def test_checked_card_is_told_on_its_line(
    build: Build, owner: User, bench_client: Client, now: datetime
) -> None:
    assert "Hold it against its list" in page(bench_client, build)
    made = list_card(build.pk, token=uuid4(), by=owner, now=now)
    sums = "".join(f"{digest}  {path}\n" for path, _size, digest in made.entries)
    check_card(made.pk, sums, token=uuid4(), by=owner, now=now)
    assert SAID in page(bench_client, build)
    Slot.objects.update(name="Rime")
    assert SAID not in page(bench_client, build)


def test_card_that_has_more_than_its_list_is_not_as_it(
    build: Build, owner: User, bench_client: Client, now: datetime
) -> None:
    made = list_card(build.pk, token=uuid4(), by=owner, now=now)
    sums = "".join(f"{digest}  {path}\n" for path, _size, digest in made.entries)
    check_card(made.pk, sums + "a" * 64 + "  more.wav\n", token=uuid4(), by=owner, now=now)
    assert SAID not in page(bench_client, build)
