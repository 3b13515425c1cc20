"""Gestures: a board's plan, what a build takes over, what is tried on the actual hilt."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.handover.actions import gestures, plans
from builds.handover.models import Gesture
from builds.handover.queries.gestures import boards_in, offered, standing_gestures, told
from builds.handover.refusals import Overtaken, Refused
from builds.models import Build
from builds.progress import actions as progress
from builds.progress.states import Kind, State
from shop.history.queries import entries_about
from shop.models import User
from tests.handover.lines import HUNG, ON, WAKE, add, fit_board, make_board, plan_lines
from tests.makers import at_once, make_build, make_part


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INSTALL)


def wanted(build: Build) -> list[str]:
    return [line.wanted for line in standing_gestures([build.pk])[build.pk]]


def take(build: Build, by: User, now: datetime) -> int:
    return gestures.take_over(build.pk, by=by, now=now)


def test_plan_is_taken_over_once_however_often_it_is_tapped(
    build: Build, owner: User, now: datetime
) -> None:
    fit_board(build, make_board(owner, now, HUNG, ON, WAKE), owner, now)
    assert take(build, owner, now) == 3
    assert take(build, owner, now) == 0
    assert wanted(build) == ["wake it", "blade on", "turn it off"]  # asleep, off, hung


@pytest.mark.django_db(transaction=True)
def test_two_tablets_take_the_plan_over_once(build: Build, owner: User, now: datetime) -> None:
    fit_board(build, make_board(owner, now, ON, WAKE), owner, now)
    at_once(*(lambda: take(build, owner, now) for _tablet in range(2)))
    assert wanted(build) == ["wake it", "blade on"]


def test_new_line_of_the_plan_is_offered_later_and_a_dropped_one_is_not(
    build: Build, owner: User, now: datetime
) -> None:
    board = make_board(owner, now, ON)
    fit_board(build, board, owner, now)
    take(build, owner, now)
    line = build.gestures.get()
    gestures.end_gesture(line.pk, seen=gestures.seen_as(line), by=owner, now=now)
    plans.add_line(board.pk, WAKE, token=uuid4(), by=owner, now=now)
    assert [each.wanted for each in offered(build, boards_in(build))] == ["wake it"]


def test_change_of_the_plan_leaves_what_a_build_took(
    build: Build, owner: User, now: datetime
) -> None:
    board = make_board(owner, now, ON)
    fit_board(build, board, owner, now)
    take(build, owner, now)
    (line,) = plan_lines(board)
    said = {**ON, "do": "two short presses"}
    plans.change_line(line.pk, said, seen=gestures.seen_as(line), by=owner, now=now)
    assert build.gestures.get().do == "one short press"


def test_line_is_tried_by_somebody_and_taken_back(build: Build, owner: User, now: datetime) -> None:
    line = add(build, owner, now)
    seen = gestures.seen_as(line)
    for _tap in range(2):
        gestures.try_gesture(line.pk, seen=seen, by=owner, now=now)
    line.refresh_from_db()
    assert (line.tried_at, line.tried_by) == (now, owner)
    tries = [e for e in entries_about(build.about) if "tried on the hilt" in e.text]
    assert len(tries) == 1
    gestures.untry_gesture(line.pk, seen=seen, by=owner, now=now)
    line.refresh_from_db()
    assert (line.tried_at, line.tried_by) == (None, None)


def test_nothing_is_tried_before_the_parts_are_in(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    line = add(build, owner, now)
    with pytest.raises(Refused, match="from install on"):
        gestures.try_gesture(line.pk, seen=gestures.seen_as(line), by=owner, now=now)


def test_changed_words_take_the_tick_away(build: Build, owner: User, now: datetime) -> None:
    line = add(build, owner, now)
    gestures.try_gesture(line.pk, seen=gestures.seen_as(line), by=owner, now=now)
    said = {**ON, "do": "hold for a second"}
    lost = gestures.change_gesture(line.pk, said, seen=gestures.seen_as(line), by=owner, now=now)
    line.refresh_from_db()
    assert lost
    assert line.tried_at is None


def test_same_words_leave_the_tick(build: Build, owner: User, now: datetime) -> None:
    line = add(build, owner, now)
    gestures.try_gesture(line.pk, seen=gestures.seen_as(line), by=owner, now=now)
    assert not gestures.change_gesture(line.pk, ON, seen="older", by=owner, now=now)
    line.refresh_from_db()
    assert line.tried_at == now


def test_other_tablet_is_told_who_changed_the_line(
    build: Build, owner: User, bench_hand: User, now: datetime
) -> None:
    line = add(build, owner, now)
    seen = gestures.seen_as(line)
    said = {**ON, "do": "hold"}
    gestures.change_gesture(line.pk, said, seen=seen, by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory was first"):
        gestures.try_gesture(line.pk, seen=seen, by=owner, now=now)
    with pytest.raises(Overtaken, match="Jory was first"):
        gestures.end_gesture(line.pk, seen=seen, by=owner, now=now)


def test_dropped_line_comes_back_to_be_tried_anew(build: Build, owner: User, now: datetime) -> None:
    line = add(build, owner, now)
    seen = gestures.seen_as(line)
    gestures.try_gesture(line.pk, seen=seen, by=owner, now=now)
    for _tap in range(2):
        gestures.end_gesture(line.pk, seen=seen, by=owner, now=now)
    assert wanted(build) == []
    for _tap in range(2):
        gestures.bring_gesture_back(line.pk, by=owner, now=now)
    line.refresh_from_db()
    assert (line.ended_at, line.tried_at) == (None, None)


def test_line_goes_up_inside_its_state(build: Build, owner: User, now: datetime) -> None:
    add(build, owner, now, wanted="first")
    second = add(build, owner, now, wanted="second")
    add(build, owner, now, being="asleep", wanted="wake")
    for _tap in range(2):
        seen = gestures.seen_as(second)
        gestures.move_gesture_up(second.pk, seen=seen, by=owner, now=now)
    assert wanted(build) == ["wake", "second", "first"]


def test_what_was_tried_before_it_came_apart_is_tried_anew(
    build: Build, owner: User, now: datetime
) -> None:
    line = add(build, owner, now)
    gestures.try_gesture(line.pk, seen=gestures.seen_as(line), by=owner, now=now)
    progress.move(
        build.pk, token=uuid4(), expected=State.INSTALL, to=State.TEARDOWN, by=owner,
        now=now + timedelta(hours=1), reason="short", caused_in=State.INSTALL,
    )  # fmt: skip
    build.refresh_from_db()
    assert [each.wanted for each in told(build).untried] == ["blade on"]


def test_next_build_of_a_hilt_begins_with_the_last(owner: User, now: datetime) -> None:
    first = make_build(owner, now, State.INSTALL)
    fit_board(first, make_board(owner, now, ON), owner, now)
    take(first, owner, now)
    add(first, owner, now, wanted="only here")
    item = make_build(owner, now, customer=first.item.order.customer, kind=Kind.REPAIR)
    Build.objects.filter(pk=item.pk).update(hilt=first.hilt)
    again = Build.objects.get(pk=item.pk)
    for _tap in range(2):
        gestures.copy_gestures(again.pk, first.pk, by=owner, now=now)
    assert wanted(again) == ["blade on", "only here"]
    assert not Gesture.objects.filter(build=again, tried_at__isnull=False).exists()


def test_gestures_of_another_hilt_are_not_copied(build: Build, owner: User, now: datetime) -> None:
    other = make_build(owner, now)
    add(build, owner, now)
    with pytest.raises(Refused, match="of one hilt"):
        gestures.copy_gestures(other.pk, build.pk, by=owner, now=now)


def test_ended_build_keeps_its_gestures(build: Build, owner: User, now: datetime) -> None:
    line = add(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN, tray=None, place=None)
    with pytest.raises(Refused, match="has ended"):
        gestures.end_gesture(line.pk, seen=gestures.seen_as(line), by=owner, now=now)


def test_plan_is_kept_with_a_sound_board_alone(owner: User, now: datetime) -> None:
    speaker = make_part(owner, now)
    with pytest.raises(Refused, match="sound board"):
        plans.add_line(speaker.pk, ON, token=uuid4(), by=owner, now=now)


def test_retired_line_is_offered_to_no_build_until_it_is_back(
    build: Build, owner: User, now: datetime
) -> None:
    board = make_board(owner, now, ON, WAKE)
    fit_board(build, board, owner, now)
    line = plan_lines(board)[0]
    plans.retire_line(line.pk, seen=gestures.seen_as(line), by=owner, now=now)
    assert take(build, owner, now) == 1
    plans.bring_line_back(line.pk, by=owner, now=now)
    assert take(build, owner, now) == 1


def test_double_tap_adds_one_line_to_a_plan(owner: User, now: datetime) -> None:
    board, token = make_board(owner, now), uuid4()
    for _tap in range(2):
        plans.add_line(board.pk, ON, token=token, by=owner, now=now)
    assert len(plan_lines(board)) == 1
