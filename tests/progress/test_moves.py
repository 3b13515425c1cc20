"""Moves: once for a token, one stage forward, back with a cause, endings, undo, start."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest

from builds.models import Build, Move, Place
from builds.progress import actions as progress
from builds.progress.actions import Overtaken, Refused, TrayTaken
from builds.progress.queries import undoable
from builds.progress.states import ENDINGS, STAGES, Kind, Leaves, State
from shop.history.models import Entry
from shop.models import User
from tests.makers import make_build, make_tray

pytestmark = pytest.mark.django_db


def go(
    build: Build, to: str, by: User, now: datetime, token: UUID | None = None, **more: Any
) -> Move:
    """Move a build from where the database has it."""
    expected = more.pop("expected", None) or Build.objects.get(pk=build.pk).state
    return progress.move(
        build.pk, token=token or uuid4(), expected=expected, to=to, by=by, now=now, **more
    )


def verbs(build: Build) -> list[str]:
    """What history has of a build, the oldest first."""
    found = Entry.objects.filter(about=build.about).order_by("pk")
    return list(found.values_list("verb", flat=True))


def test_same_token_moves_once(owner: User, now: datetime) -> None:
    build, token = make_build(owner, now), uuid4()
    first = go(build, State.INTAKE, owner, now, token)
    again = go(build, State.INTAKE, owner, now, token, expected=State.BOOKED)
    assert first == again
    assert verbs(build) == ["booked", "moved"]


def test_token_of_another_build_is_refused(owner: User, now: datetime) -> None:
    one, other, token = make_build(owner, now), make_build(owner, now), uuid4()
    go(one, State.INTAKE, owner, now, token)
    with pytest.raises(Refused, match="out of date"):
        go(other, State.INTAKE, owner, now, token)


def test_other_tablet_is_told_who_moved_it(owner: User, bench_hand: User, now: datetime) -> None:
    build = make_build(owner, now)
    go(build, State.INTAKE, bench_hand, now)
    with pytest.raises(Overtaken) as told:
        go(build, State.INTAKE, owner, now, expected=State.BOOKED)
    said = str(told.value)
    assert said == f"Jory moved {build} to intake first, so nothing was changed."


@pytest.mark.parametrize("stage", STAGES[:-1])
def test_forward_goes_to_the_next_stage_alone(stage: State, owner: User, now: datetime) -> None:
    build = make_build(owner, now, stage)
    Build.objects.filter(pk=build.pk).update(tray=make_tray())
    place = STAGES.index(stage)
    for beyond in STAGES[place + 2 :]:
        with pytest.raises(Refused, match="one stage at a time"):
            go(build, beyond, owner, now)
    assert go(build, STAGES[place + 1], owner, now).to_state == STAGES[place + 1]


def test_staying_is_no_move(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    with pytest.raises(Refused):
        go(build, State.TEST, owner, now, reason="why", caused_in=State.TEST)


def test_unknown_stage_is_refused(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    with pytest.raises(Refused, match="no such stage"):
        go(build, "limbo", owner, now, reason="why")


@pytest.mark.parametrize(
    ("reason", "caused_in"),
    [("", ""), ("cold joint", ""), ("", State.INSTALL), ("  ", State.INSTALL), ("joint", "moon")],
)
def test_going_back_wants_cause_and_reason(
    reason: str, caused_in: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST)
    with pytest.raises(Refused, match="rework"):
        go(build, State.INSTALL, owner, now, reason=reason, caused_in=caused_in)


def test_going_back_keeps_cause_and_reason(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    moved = go(build, State.INSTALL, owner, now, reason="cold joint", caused_in=State.INSTALL)
    assert (moved.reason, moved.caused_in) == ("cold joint", State.INSTALL)


def test_what_arrived_is_not_unbooked(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INTAKE)
    with pytest.raises(Refused, match="un-booked"):
        go(build, State.BOOKED, owner, now, reason="why", caused_in=State.INTAKE)


@pytest.mark.parametrize("ending", ENDINGS)
@pytest.mark.parametrize("to", [State.INTAKE, State.DISPATCH, State.SENT, State.WITHDRAWN])
def test_nothing_leads_out_of_an_ending(ending: str, to: str, owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    Build.objects.filter(pk=build.pk).update(state=ending)
    with pytest.raises(Refused, match="has ended"):
        go(build, to, owner, now, reason="why", caused_in=State.INTAKE)


@pytest.mark.parametrize(
    ("leaves_by", "ending", "other"),
    [
        (Leaves.POST, State.SENT, State.COLLECTED),
        (Leaves.COLLECTION, State.COLLECTED, State.SENT),
    ],
)
def test_finished_build_leaves_the_way_it_was_agreed(
    leaves_by: str, ending: str, other: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH, leaves_by=leaves_by)
    with pytest.raises(Refused, match="agreed"):
        go(build, other, owner, now)
    assert go(build, ending, owner, now).to_state == ending


def test_finished_build_leaves_from_dispatch_alone(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    with pytest.raises(Refused, match="dispatch alone"):
        go(build, State.SENT, owner, now)


@pytest.mark.parametrize("ending", [State.RETURNED, State.WITHDRAWN, State.ABANDONED])
def test_ending_unfinished_wants_a_reason(ending: str, owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    with pytest.raises(Refused, match="why it ends"):
        go(build, ending, owner, now, reason=" ")
    go(build, ending, owner, now, reason="changed his mind")
    build.refresh_from_db()
    assert (build.state, build.tray) == (ending, None)


def test_past_intake_without_tray_is_refused_with_a_sentence(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INTAKE)
    with pytest.raises(Refused, match="tray or a place"):
        go(build, State.TEARDOWN, owner, now)
    assert not Move.objects.filter(build=build).exists()


# Undo


def test_undo_within_the_minute_gives_back_who_had_started(
    owner: User, bench_hand: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    progress.start(build.pk, expected=State.TEARDOWN, by=bench_hand, now=now)
    moved = go(build, State.INSTALL, owner, now + timedelta(hours=1))
    later = now + timedelta(hours=1, seconds=59)
    undone = progress.undo(moved.pk, token=uuid4(), by=owner, now=later)
    build.refresh_from_db()
    assert (build.state, build.started_by, build.started_at) == (State.TEARDOWN, bench_hand, now)
    assert build.state_since == now
    assert undone.undoes == moved
    assert verbs(build)[-1] == "undone"


def test_undo_of_an_ending_gives_the_tray_back(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    tray = build.tray
    sent = go(build, State.SENT, owner, now)
    progress.undo(sent.pk, token=uuid4(), by=owner, now=now)
    build.refresh_from_db()
    assert (build.state, build.tray) == (State.DISPATCH, tray)


def test_undo_leaves_a_tray_alone_that_was_changed_meanwhile(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    moved = go(build, State.INSTALL, owner, now)
    place = Place.objects.create(name="Shelf M")
    progress.put(build.pk, tray=None, place=place, by=owner, now=now)
    progress.undo(moved.pk, token=uuid4(), by=owner, now=now)
    build.refresh_from_db()
    assert (build.tray, build.place) == (None, place)


@pytest.mark.parametrize("seconds", [60, 61, 3600])
def test_undo_after_the_minute_is_refused(seconds: int, owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    moved = go(build, State.INTAKE, owner, now)
    late = now + timedelta(seconds=seconds)
    with pytest.raises(Refused, match="one minute"):
        progress.undo(moved.pk, token=uuid4(), by=owner, now=late)
    assert undoable(late) == []


def test_undo_with_the_same_token_is_one_undo(owner: User, now: datetime) -> None:
    build, token = make_build(owner, now), uuid4()
    moved = go(build, State.INTAKE, owner, now)
    first = progress.undo(moved.pk, token=token, by=owner, now=now)
    assert progress.undo(moved.pk, token=token, by=owner, now=now) == first


def test_undo_twice_names_who_was_first(owner: User, bench_hand: User, now: datetime) -> None:
    build = make_build(owner, now)
    moved = go(build, State.INTAKE, owner, now)
    progress.undo(moved.pk, token=uuid4(), by=bench_hand, now=now)
    with pytest.raises(Refused, match="Jory took that back already"):
        progress.undo(moved.pk, token=uuid4(), by=owner, now=now)


def test_undo_of_an_undo_is_refused(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    moved = go(build, State.INTAKE, owner, now)
    undone = progress.undo(moved.pk, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="undo already"):
        progress.undo(undone.pk, token=uuid4(), by=owner, now=now)


def test_undo_of_what_moved_on_is_refused(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    first = go(build, State.INTAKE, owner, now)
    Build.objects.filter(pk=build.pk).update(tray=make_tray())
    go(build, State.TEARDOWN, owner, now)
    with pytest.raises(Refused, match="moved on"):
        progress.undo(first.pk, token=uuid4(), by=owner, now=now)


def test_undo_knows_the_newest_move_though_the_clock_was_set_back(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    go(build, State.INTAKE, owner, now)
    Build.objects.filter(pk=build.pk).update(tray=make_tray())
    newest = go(build, State.TEARDOWN, owner, now - timedelta(seconds=5))
    assert undoable(now) == [newest]
    progress.undo(newest.pk, token=uuid4(), by=owner, now=now)


def test_undo_asks_for_another_tray_where_the_old_one_was_given_away(
    owner: User, now: datetime
) -> None:
    build, other = make_build(owner, now, State.DISPATCH), make_build(owner, now)
    tray, fresh = build.tray, make_tray()
    sent = go(build, State.SENT, owner, now)
    progress.put(other.pk, tray=tray, place=None, by=owner, now=now)
    with pytest.raises(TrayTaken, match=f"Tray {tray} holds {other.hilt} {other}") as told:
        progress.undo(sent.pk, token=uuid4(), by=owner, now=now)
    assert told.value.build == build
    progress.undo(sent.pk, token=uuid4(), by=owner, now=now, tray=fresh)
    build.refresh_from_db()
    assert build.tray == fresh


# Start, put


def test_started_twice_is_started_once(owner: User, bench_hand: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    progress.start(build.pk, expected=State.INSTALL, by=bench_hand, now=now)
    later = now + timedelta(minutes=1)
    again = progress.start(build.pk, expected=State.INSTALL, by=owner, now=later)
    assert (again.started_by, again.started_at) == (bench_hand, now)
    assert verbs(build).count("started") == 1


def test_start_of_what_went_on_is_overtaken(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    with pytest.raises(Overtaken):
        progress.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)


def test_nothing_is_started_before_it_arrived(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    with pytest.raises(Refused, match="nothing to start"):
        progress.start(build.pk, expected=State.BOOKED, by=owner, now=now)


def test_moving_on_forgets_who_had_started(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    progress.start(build.pk, expected=State.INSTALL, by=owner, now=now)
    go(build, State.TEST, owner, now)
    build.refresh_from_db()
    assert (build.started_at, build.started_by) == (None, None)


def test_taken_tray_is_refused_by_the_name_of_its_holder(owner: User, now: datetime) -> None:
    holder, build = make_build(owner, now, State.TEST), make_build(owner, now)
    with pytest.raises(TrayTaken) as told:
        progress.put(build.pk, tray=holder.tray, place=None, by=owner, now=now)
    said = f"Tray {holder.tray} holds {holder.hilt} {holder}. Choose another."
    assert str(told.value) == said


def test_note_that_names_a_rule_does_not_change_the_refusal(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    Build.objects.filter(pk=build.pk).update(note="tray_id no_tray")
    with pytest.raises(Refused, match="stands somewhere"):
        progress.put(build.pk, tray=None, place=None, by=owner, now=now)


def test_blade_only_job_gets_no_tray(owner: User, now: datetime) -> None:
    build = make_build(owner, now, kind=Kind.BLADE)
    with pytest.raises(Refused, match="has no tray"):
        progress.put(build.pk, tray=make_tray(), place=None, by=owner, now=now)


def test_put_is_kept_once_in_history(owner: User, now: datetime) -> None:
    build, tray = make_build(owner, now), make_tray()
    for _twice in range(2):
        progress.put(build.pk, tray=tray, place=None, by=owner, now=now)
    assert verbs(build) == ["booked", "put"]


def test_ended_build_stands_nowhere(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.SENT)
    with pytest.raises(Refused, match="nowhere"):
        progress.put(build.pk, tray=make_tray(), place=None, by=owner, now=now)
