"""What the card of a build holds: places, order, two tablets, one customer's alone."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest

from builds.progress.models import Build
from builds.progress.states import State
from builds.sounds import actions
from builds.sounds.models import Slot
from builds.sounds.queries import caps_of, slots_of
from builds.sounds.refusals import Overtaken, Refused
from shop.history.queries import entries_about
from shop.models import User
from tests.makers import at_once, describe_slot, make_build, make_customer

EMBER: dict[str, Any] = {"place": 1, "name": "Ember", "colour": "#ff4000", "look": "flickering"}
FROST: dict[str, Any] = {"place": 2, "name": "Frost", "colour": "#00ffff", "look": "steady"}


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEARDOWN)


@pytest.fixture
def card(build: Build, owner: User, now: datetime) -> list[Slot]:
    for values in (EMBER, FROST):
        actions.add_slot(build.pk, values, token=uuid4(), by=owner, now=now)
    return slots_of([build.pk])[build.pk]


def names(build: Build) -> list[str]:
    return [slot.name for slot in slots_of([build.pk])[build.pk]]


def test_double_tap_adds_one_slot(build: Build, owner: User, now: datetime) -> None:
    token = uuid4()
    for _tap in range(2):
        actions.add_slot(build.pk, EMBER, token=token, by=owner, now=now)
    assert names(build) == ["Ember"]


@pytest.mark.django_db(transaction=True)
def test_two_tablets_wanting_one_place_get_it_once(
    build: Build, owner: User, now: datetime
) -> None:
    def add(values: dict[str, Any]) -> Any:
        return lambda: actions.add_slot(build.pk, values, token=uuid4(), by=owner, now=now)

    answers = at_once(add(EMBER), add({**FROST, "place": 1}))
    assert len(names(build)) == 1
    assert sum(isinstance(answer, Refused) for answer in answers) == 1


def test_taken_place_is_refused_by_name(
    build: Build, card: list[Slot], owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="Place 2 holds “Frost”"):
        actions.add_slot(build.pk, {**EMBER, "place": 2}, token=uuid4(), by=owner, now=now)


def test_place_of_what_was_taken_off_is_free_again(
    build: Build, card: list[Slot], owner: User, now: datetime
) -> None:
    actions.end_slot(card[0].pk, seen=actions.seen_as(card[0]), by=owner, now=now)
    actions.add_slot(build.pk, EMBER, token=uuid4(), by=owner, now=now)
    assert names(build) == ["Ember", "Frost"]


def test_slot_goes_up_one_place(build: Build, card: list[Slot], owner: User, now: datetime) -> None:
    actions.move_up(card[1].pk, seen=actions.seen_as(card[1]), by=owner, now=now)
    assert names(build) == ["Frost", "Ember"]
    assert [slot.place for slot in slots_of([build.pk])[build.pk]] == [1, 2]


def test_first_slot_stays_where_it_is(
    build: Build, card: list[Slot], owner: User, now: datetime
) -> None:
    actions.move_up(card[0].pk, seen=actions.seen_as(card[0]), by=owner, now=now)
    assert names(build) == ["Ember", "Frost"]


def test_other_tablet_changed_it_first(
    build: Build, card: list[Slot], owner: User, bench_hand: User, now: datetime
) -> None:
    seen = actions.seen_as(card[0])
    redder = {**EMBER, "colour": "#ff0000"}
    actions.change_slot(card[0].pk, redder, seen=seen, by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory was first"):
        actions.change_slot(card[0].pk, {**EMBER, "name": "Coal"}, seen=seen, by=owner, now=now)
    assert names(build) == ["Ember", "Frost"]


def test_same_change_twice_is_one(
    build: Build, card: list[Slot], owner: User, now: datetime
) -> None:
    seen = actions.seen_as(card[0])
    for _tap in range(2):
        actions.change_slot(card[0].pk, {**EMBER, "name": "Coal"}, seen=seen, by=owner, now=now)
    said = [line.text for line in entries_about(build.about)]
    assert said.count("Slot 1 changed: Coal") == 1


def test_what_was_taken_off_is_not_changed(
    build: Build, card: list[Slot], owner: User, bench_hand: User, now: datetime
) -> None:
    seen = actions.seen_as(card[0])
    actions.end_slot(card[0].pk, seen=seen, by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="taken off"):
        actions.change_slot(card[0].pk, {**EMBER, "name": "Coal"}, seen=seen, by=owner, now=now)


def test_slots_are_taken_over_from_another_hilt_of_the_customer(
    build: Build, card: list[Slot], owner: User, now: datetime
) -> None:
    other = make_build(owner, now, customer=build.item.order.customer)
    actions.add_slot(other.pk, {**FROST, "name": "Dusk"}, token=uuid4(), by=owner, now=now)
    token = uuid4()
    for _tap in range(2):
        actions.copy_slots(other.pk, build.pk, token=token, by=owner, now=now)
    assert names(other) == ["Ember", "Dusk", "Frost"]


def test_slots_of_another_customer_are_never_taken_over(
    build: Build, card: list[Slot], owner: User, now: datetime
) -> None:
    other = make_build(owner, now, customer=make_customer(now, "Abel"))
    with pytest.raises(Refused, match="one customer alone"):
        actions.copy_slots(other.pk, build.pk, token=uuid4(), by=owner, now=now)
    assert names(other) == []


def test_cap_is_kept_and_the_other_tablet_told(
    build: Build, owner: User, bench_hand: User, now: datetime
) -> None:
    actions.cap_brightness(build.pk, 60, seen=100, by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory was first: Brightness capped at 60"):
        actions.cap_brightness(build.pk, 80, seen=100, by=owner, now=now)
    assert caps_of([build.pk]) == {build.pk: 60}


def test_card_of_a_build_that_ended_stays(
    build: Build, card: list[Slot], owner: User, now: datetime
) -> None:
    Build.objects.filter(pk=build.pk).update(state=State.SENT, tray=None)
    with pytest.raises(Refused, match="has ended"):
        actions.end_slot(card[0].pk, seen=actions.seen_as(card[0]), by=owner, now=now)


@pytest.mark.parametrize("state", [State.BOOKED, State.INTAKE, State.TEARDOWN])
def test_slot_is_not_seen_and_heard_before_parts_are_in(
    state: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, state)
    describe_slot(build, owner, now)
    slot = slots_of([build.pk])[build.pk][0]
    with pytest.raises(Refused, match="from install on"):
        actions.verify_slot(slot.pk, seen=actions.seen_as(slot), by=owner, now=now)
    slot.refresh_from_db()
    assert slot.verified_at is None
