"""Slots, gestures and the card: described out of install, tried on the unit out of test."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.gates.actions import let_by
from builds.gates.conditions import MET, PASSED, UNMET, Condition, conditions
from builds.models import Blade, Build, Hilt
from builds.progress import actions as progress
from builds.progress.states import Kind, State
from builds.sounds.actions.cards import check_card, list_card
from builds.sounds.models import CardListing, Slot
from shop.models import User
from tests.handover.lines import add, fit_board, make_board
from tests.makers import describe_gesture, describe_slot, fit_a_part, make_build, try_all
from tests.sounds.making import make_set, sine, wave

pytestmark = pytest.mark.django_db


def of(build: Build) -> dict[str, Condition]:
    """Code → condition of leaving."""
    return {found.code: found for found in conditions([build.pk])[build.pk]}


@pytest.mark.parametrize("kind", [Kind.FULL, Kind.UPGRADE])
def test_board_wants_its_gestures_described_out_of_install(
    kind: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.INSTALL, kind=kind)
    fit_board(build, make_board(owner, now), owner, now)
    assert of(build)["gestures"].state == UNMET
    describe_gesture(build, owner, now)
    assert of(build)["gestures"].state == MET


def test_what_has_neither_board_nor_switch_asks_for_no_gestures(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    fit_a_part(build, owner, now)
    assert "gestures" not in of(build)


def test_repair_is_asked_for_gestures_only_where_some_are_written(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, kind=Kind.REPAIR)
    fit_board(build, make_board(owner, now), owner, now)
    assert "gestures" not in of(build)
    describe_gesture(build, owner, now)
    assert of(build)["gestures"].state == UNMET


def test_out_of_test_each_line_and_each_slot_was_tried(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    describe_slot(build, owner, now)
    for wanted in ("blade on", "blade off", "wake", "clash"):
        add(build, owner, now, wanted=wanted)
    asked = of(build)
    assert asked["slots-verified"].text == "1 slot to see and hear: Ember"
    assert asked["gestures"].text == "4 gestures to try: blade on, blade off, wake …"
    try_all(build, owner, now)
    assert {of(build)[code].state for code in ("slots-verified", "gestures")} == {MET}


def test_what_came_apart_is_tried_anew(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    describe_slot(build, owner, now)
    describe_gesture(build, owner, now)
    try_all(build, owner, now)
    later = now + timedelta(hours=2)
    progress.move(
        build.pk, token=uuid4(), expected=State.TEST, to=State.TEARDOWN, by=owner, now=later,
        reason="short", caused_in=State.INSTALL,
    )  # fmt: skip
    Build.objects.filter(pk=build.pk).update(state=State.TEST)
    assert {of(build)[code].state for code in ("slots-verified", "gestures")} == {UNMET}
    try_all(build, owner, later)
    assert {of(build)[code].state for code in ("slots-verified", "gestures")} == {MET}


def test_owner_passes_what_was_not_tried_with_a_reason(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    describe_gesture(build, owner, now)
    let_by(build.pk, "gestures", reason="tried with the owner here", by=owner, now=now)
    assert of(build)["gestures"].is_open


def list_of(build: Build, by: User, now: datetime) -> CardListing:
    """A slot with a sound set on the card, and the card listed."""
    own = make_set({"hum.wav": wave(sine(seconds=0.1))}, by, now)
    Slot.objects.create(build=build, place=1, name="Ember", colour="#ff4000", sound_set=own)
    return list_card(build.pk, token=uuid4(), by=by, now=now)


def test_card_without_a_list_is_not_asked_for(owner: User, now: datetime) -> None:
    assert "card" not in of(make_build(owner, now, State.TEST))


def test_listed_card_is_held_against_its_list_out_of_test(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    listing = list_of(build, owner, now)
    assert of(build)["card"].state == UNMET
    texts = [f"{digest}  {path}" for path, _size, digest in listing.entries]
    check_card(listing.pk, "0" * 64 + "  else.wav", token=uuid4(), by=owner, now=now)
    assert of(build)["card"].state == UNMET
    check_card(listing.pk, "\n".join(texts), token=uuid4(), by=owner, now=now)
    assert of(build)["card"].state == MET
    list_card(build.pk, token=uuid4(), by=owner, now=now + timedelta(hours=1))
    assert of(build)["card"].state == UNMET  # a new list wants a new look


def test_blade_alone_was_tried_in_a_hilt_or_the_owner_says_why_not(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, kind=Kind.BLADE)
    assert of(build)["blade-tried"].text == "Which blade is it? It is not written down"
    customer = build.item.order.customer
    blade = Blade.objects.create(customer=customer, name="Reed", since=now)
    Build.objects.filter(pk=build.pk).update(blade=blade)
    assert of(build)["blade-tried"].text == "Not tried in a hilt yet: does it seat, does it hold?"
    let_by(build.pk, "blade-tried", reason="its hilt is at home", by=owner, now=now)
    assert of(build)["blade-tried"].state == PASSED
    blade.tried_in = Hilt.objects.create(customer=customer, name="Copperfen", since=now)
    blade.tried_at, blade.tried_by = now, owner
    blade.save()
    assert of(build)["blade-tried"].state == MET


def test_hilt_is_not_asked_for_a_blade_tried_alone(owner: User, now: datetime) -> None:
    assert "blade-tried" not in of(make_build(owner, now, State.TEST))
