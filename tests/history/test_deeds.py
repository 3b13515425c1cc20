"""A build's whole life leaves every deed in its history, each in words."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.dispatch.actions import (
    note_tracking,
    open_parcel,
    stow,
    tick_line,
    untick_line,
)
from builds.gates import actions as gates
from builds.intake import actions as intake
from builds.models import Belonging, Build, Move
from builds.progress import actions as progress
from builds.progress.states import State
from builds.queue.actions import promise
from shop.history.models import Entry
from shop.history.queries import entries_about
from shop.history.words import SENTENCES
from shop.models import User
from tests.makers import (
    FRIDAY,
    answer,
    check_cell,
    fit_all,
    hand_over,
    make_arrival,
    make_build,
    make_tray,
    prove,
    put_on_hold,
    take_apart_and_carry,
    take_views,
    tick_all,
)

CARRIED = [
    "part_planned", "part_planned", "part_planned", "part_placed", "part_placed",
    "slot_added",
]  # fmt: skip
LIFE = [
    "booked", "promised", "matched", "belonging_noted", "moved", "started", "put",
    "condition_noted", "cell_checked", "photo_added", "photo_shared", "photo_unshared",
    "photo_dropped", "moved", "held", "hold_ended", "depth_tried", "chassis_chosen",
    *CARRIED, "moved",
    "undone", "moved", "gesture_added", *["part_reserved", "part_fitted"] * 3, "passed", "moved",
    "moved", "moved", "slot_verified", "gesture_tried", "started", "proof_begun",
    "proof_read",
    *["timer_begun", "proof_read"] * 2,
    "moved", "belonging_returned", "belonging_kept", "packed", "unpacked", "packed",
    "cell_stowed", "tracking_noted", "pack_ticked", "pack_unticked", *["pack_ticked"] * 3, "moved",
    "warranty_promised",
]  # fmt: skip


def _into_intake(build: Build, by: User, now: datetime) -> None:
    promise(build, FRIDAY, reason="", by=by, now=now)
    arrival = make_arrival(by, now)
    intake.match(arrival, build, by, now)
    intake.add_belongings(arrival, [("stand", 1)], by, now)
    answer(build, "agreed", by, now)
    _advance(build, State.BOOKED, by, now)
    gates.start(build.pk, expected=State.INTAKE, by=by, now=now)
    progress.put(build.pk, tray=make_tray(), place=None, by=by, now=now)
    intake.note_condition(build, section="grip", grade="worn", words="dull", by=by, now=now)
    check_cell(build, by, now)


def _handle_a_photo(build: Build, by: User, now: datetime) -> None:
    take_views(build, State.INTAKE, by, now)
    photo = build.photos.get()
    for shared in (True, False):
        intake.describe_photo(photo, view=None, caption="", shared=shared, by=by, now=now)
    intake.drop_photo(photo, by, now)


def _through_the_bench(build: Build, by: User, now: datetime) -> None:
    _advance(build, State.INTAKE, by, now)
    held = put_on_hold(build, by, now)
    progress.end_hold(held.pk, by=by, now=now)
    answer(build, "reconfirmed", by, now)
    take_apart_and_carry(build, by, now)
    moved = _advance(build, State.TEARDOWN, by, now)
    gates.undo(moved.pk, token=uuid4(), by=by, now=now)
    _advance(build, State.TEARDOWN, by, now)
    fit_all(build, by, now)
    gates.let_by(build.pk, "views", reason="seen on the film", by=by, now=now)
    _advance(build, State.INSTALL, by, now)
    facts = {"token": uuid4(), "expected": State.TEST, "by": by, "now": now}
    gates.send_back(build.pk, State.INSTALL, reason="cold joint", caused_in="install", **facts)
    _advance(build, State.INSTALL, by, now)
    prove(build, by, now)
    _advance(build, State.TEST, by, now)


def _out_of_the_door(build: Build, by: User, now: datetime) -> None:
    stand = Belonging.objects.get()
    intake.account_for(stand, kept_because="", by=by, now=now)
    intake.account_for(stand, kept_because="broken", by=by, now=now)
    parcel = gates.pack([build.pk], day=FRIDAY, token=uuid4(), by=by, now=now)
    open_parcel(parcel.pk, by, now)
    parcel = gates.pack([build.pk], day=FRIDAY, token=uuid4(), by=by, now=now)
    stow(parcel.pk, f"build-{build.pk}", {"stowage": "left-out"}, seen="", by=by, now=now)
    note_tracking(parcel, carrier="van", tracking="A1", by=by, now=now)
    made = tick_line(parcel.pk, "caps", build.pk, token=uuid4(), by=by, now=now)
    untick_line(parcel.pk, made.pk, by=by, now=now)
    tick_all(parcel, by, now)
    hand_over(build, by, now)
    gates.leave(parcel.pk, by=by, now=now + timedelta(hours=1))


def _advance(build: Build, expected: str, by: User, now: datetime) -> Move:
    return gates.advance(build.pk, token=uuid4(), expected=expected, by=by, now=now)


@pytest.mark.django_db
def test_every_deed_of_a_life_is_in_history(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    _into_intake(build, owner, now)
    _handle_one_view(owner, now)
    _handle_a_photo(build, owner, now)
    _through_the_bench(build, owner, now)
    _out_of_the_door(build, owner, now)
    written = Entry.objects.filter(about=build.about).order_by("pk")
    assert list(written.values_list("verb", flat=True)) == LIFE
    lines = entries_about(build.about, limit=len(LIFE) + 1)
    assert len(lines) == len(LIFE)
    assert {line.who for line in lines} == {"Oda"}
    assert not {line.text for line in lines} & SENTENCES.keys()


def _handle_one_view(by: User, now: datetime) -> None:
    intake.add_view(label="one side", stage=State.INTAKE, required=False, by=by, now=now)
    intake.add_view(label="chassis", stage=State.INSTALL, required=True, by=by, now=now)
