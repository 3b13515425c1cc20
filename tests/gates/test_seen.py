"""A gate that was asked when the bench was looked at, and builds of which little is asked."""

from collections.abc import Iterable
from datetime import datetime
from threading import Thread
from uuid import uuid4

import pytest
from django.db import connection, connections, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.gates import actions as gates
from builds.gates import conditions
from builds.models import Build, Move
from builds.progress.states import STAGES, Kind, Leaves, State
from shop.models import User
from tests.makers import fit_all, make_build, put_on_hold


def move_on(build: Build, by: User, now: datetime) -> int:
    """Move a build on; how many queries that took."""
    with CaptureQueriesContext(connection) as asked:
        gates.advance(build.pk, token=uuid4(), expected=build.state, by=by, now=now)
    return len(asked)


def ready(by: User, now: datetime) -> Build:
    """A build in intake that may move on: of a blade nothing is asked there."""
    return make_build(by, now, State.INTAKE, kind=Kind.BLADE)


@pytest.mark.django_db(transaction=True)
def test_move_after_a_look_at_the_bench_asks_the_gate_no_second_time(
    owner: User, now: datetime
) -> None:
    seen, unseen = ready(owner, now), ready(owner, now)
    conditions.asked_of_open(now)
    after_a_look = move_on(seen, owner, now)
    assert move_on(unseen, owner, now) > after_a_look  # the first move was written since


@pytest.mark.django_db(transaction=True)
def test_what_another_tablet_wrote_since_the_look_shuts_the_gate(
    owner: User, now: datetime
) -> None:
    build = ready(owner, now)
    assert all(one.is_open for one in conditions.asked_of_open(now).leaving[build.pk])

    def hold() -> None:
        put_on_hold(build, owner, now)
        connections.close_all()

    other = Thread(target=hold)
    other.start()
    other.join()
    with pytest.raises(gates.GateClosed):
        move_on(build, owner, now)


@pytest.mark.django_db(transaction=True)
def test_what_the_same_deed_wrote_shuts_the_gate(owner: User, now: datetime) -> None:
    build = ready(owner, now)
    conditions.asked_of_open(now)
    with transaction.atomic():
        put_on_hold(build, owner, now)
        with pytest.raises(gates.GateClosed):
            move_on(build, owner, now)


@pytest.mark.django_db(transaction=True)
def test_move_of_the_bench_script_asks_no_second_time_either(
    owner: User, owner_client: Client, now: datetime
) -> None:
    seen, unseen = ready(owner, now), ready(owner, now)

    def tap(build: Build) -> int:
        data = {"token": str(uuid4()), "expected": build.state}
        address = reverse("bench_move", args=[build.number])
        with CaptureQueriesContext(connection) as asked:
            answer = owner_client.post(address, data, headers={"X-Deed": str(uuid4())})
        assert answer.status_code == 303
        assert Move.objects.filter(token=data["token"]).exists()
        return len(asked)

    owner_client.get(reverse("bench_bench"))
    after_a_look = tap(seen)
    assert tap(unseen) > after_a_look


class Unread:
    """Stands for what was not read: whoever asks anything of it has a gate that guesses."""

    def __getattr__(self, name: str) -> object:
        raise AssertionError(f"asked for {name}, which was not read")


@pytest.mark.django_db
@pytest.mark.parametrize("kind", [*Kind])
@pytest.mark.parametrize("leaves_by", [*Leaves])
@pytest.mark.parametrize("state", [*STAGES])
def test_no_gate_asks_what_is_not_read(
    state: str, leaves_by: str, kind: str, owner: User, now: datetime,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    build = make_build(owner, now, state, kind=kind, leaves_by=leaves_by)
    for name in ("Facts", "Going", "Fitted", "House"):
        monkeypatch.setattr(conditions, name, Unread)
    for trigger in (conditions.LEAVE, conditions.START):
        conditions.conditions([build.pk], trigger)
    conditions.ending_conditions(build.pk)


@pytest.mark.django_db
@pytest.mark.parametrize("state", [*STAGES])
def test_reading_more_than_is_asked_changes_no_answer(
    state: str, owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    build = make_build(owner, now, state)
    if state in {State.INSTALL, State.TEST}:
        fit_all(build, owner, now)
    both = (conditions.LEAVE, conditions.START)
    read = {trigger: conditions.conditions([build.pk], trigger)[build.pk] for trigger in both}

    def everyone(rows: Iterable[Build], *states: str) -> list[Build]:
        return list(rows)

    monkeypatch.setattr(conditions, "_at", everyone)
    for trigger, answer in read.items():
        assert conditions.conditions([build.pk], trigger)[build.pk] == answer
