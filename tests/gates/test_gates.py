"""Passing gates: moving on, starting, packing, leaving, ending, undoing, the owner's word."""

from collections import Counter
from datetime import date, datetime, timedelta
from threading import Event
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from builds.dispatch.actions import Refused as ParcelRefused
from builds.dispatch.actions import open_parcel
from builds.gates import actions as gates
from builds.gates.actions import GateClosed, Refused
from builds.gates.conditions import LEAVE, START, Condition, conditions
from builds.gates.models import Pass
from builds.intake import actions as intake
from builds.models import Build, Move, Parcel
from builds.progress import actions as progress
from builds.progress.actions import Overtaken, TrayTaken
from builds.progress.states import Kind, Leaves, State
from shop.history.models import Entry
from shop.models import Message, PrivateLink, User
from shop.post.actions import queue_message
from shop.post.models import Scope
from tests.makers import (
    FRIDAY,
    answer,
    at_once,
    check_cell,
    fit_a_part,
    hand_over,
    make_build,
    make_customer,
    make_parcel,
    make_tray,
    prove,
    put_on_hold,
)

pytestmark = pytest.mark.django_db


def advance(build: Build, expected: str, by: User, now: datetime) -> Move:
    """Tap "move on" at a build seen in a stage."""
    return gates.advance(build.pk, token=uuid4(), expected=expected, by=by, now=now)


def parcel_with(by: User, now: datetime, how_many: int) -> tuple[Parcel, list[Build]]:
    """A closed parcel of one customer's builds that lack nothing."""
    customer = make_customer(now)
    pair = [make_build(by, now, State.DISPATCH, customer=customer) for _ in range(how_many)]
    return make_parcel(pair, by, now), pair


def tell(move: Move, now: datetime) -> Message:
    """A message that a move caused."""
    return queue_message(
        key=f"sent:{move.pk}", occasion="sent", about=move.build.about, to="wren@example.com",
        subject="On its way", body="It left.", now=now, cause=f"move:{move.pk}",
        not_before=now + timedelta(seconds=60),
    )  # fmt: skip


def states(*builds: Build) -> list[str]:
    """Where builds are now."""
    return [Build.objects.get(pk=build.pk).state for build in builds]


def test_closed_gate_says_what_is_missing(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    with pytest.raises(GateClosed) as told:
        advance(build, State.BOOKED, owner, now)
    said = f"{build} stays as it is in booked. Missing: Not arrived yet; Not agreed yet"
    assert str(told.value) == said
    assert not Move.objects.exists()


def test_open_gate_lets_it_on(owner: User, now: datetime) -> None:
    build = make_build(owner, now, kind=Kind.BLADE)
    answer(build, "agreed", owner, now)
    assert advance(build, State.BOOKED, owner, now).to_state == State.INTAKE


def test_same_token_passes_a_gate_that_has_shut_since(owner: User, now: datetime) -> None:
    build, token = make_build(owner, now, State.TEST), uuid4()
    prove(build, owner, now)
    facts = {"token": token, "expected": State.TEST, "by": owner, "now": now}
    first = gates.advance(build.pk, **facts)
    put_on_hold(build, owner, now)
    assert gates.advance(build.pk, **facts) == first


def test_other_tablet_is_overtaken_not_asked(owner: User, bench_hand: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    prove(build, owner, now)
    advance(build, State.TEST, bench_hand, now)
    with pytest.raises(Overtaken, match="Jory moved"):
        advance(build, State.TEST, owner, now)


@pytest.mark.parametrize(
    ("expected", "why"),
    [(State.DISPATCH, "with its parcel"), (State.SENT, "no stage"), ("limbo", "no stage")],
)
def test_there_is_no_going_on_from_here(
    expected: str, why: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    with pytest.raises(Refused, match=why):
        advance(build, expected, owner, now)


def test_held_build_is_neither_started_nor_moved(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    put_on_hold(build, owner, now)
    with pytest.raises(GateClosed, match="On hold: which colour \\(customer's turn\\)"):
        gates.start(build.pk, expected=State.TEST, by=owner, now=now)
    with pytest.raises(GateClosed):
        advance(build, State.TEST, owner, now)


def test_teardown_starts_when_the_customer_was_asked_again(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    check_cell(build, owner, now)
    with pytest.raises(GateClosed, match="Ask again"):
        gates.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)
    answer(build, "reconfirmed", owner, now)
    assert gates.start(build.pk, expected=State.TEARDOWN, by=owner, now=now).started_by == owner


# The owner's word


def test_owners_word_opens_a_condition_and_stays(owner: User, now: datetime) -> None:
    build = make_build(owner, now, kind=Kind.BLADE)
    gates.let_by(build.pk, "agreed", reason="he rang me", by=owner, now=now)
    advance(build, State.BOOKED, owner, now)
    entry = Entry.objects.get(verb="passed")
    assert entry.parameters == {"code": "agreed", "stage": "booked", "reason": "he rang me"}


def test_owners_word_is_shown_with_name_and_reason(owner: User, now: datetime) -> None:
    build = make_build(owner, now, kind=Kind.BLADE)
    gates.let_by(build.pk, "agreed", reason="he rang me", by=owner, now=now)
    (shown,) = gates.conditions([build.pk])[build.pk]
    assert shown.text == "Not agreed yet – passed by Oda: he rang me"


def test_bench_hand_passes_nothing(owner: User, bench_hand: User, now: datetime) -> None:
    build = make_build(owner, now)
    with pytest.raises(Refused, match="Only the owner"):
        gates.let_by(build.pk, "agreed", reason="sure", by=bench_hand, now=now)


def test_passing_wants_a_reason(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    with pytest.raises(Refused, match="Write down why"):
        gates.let_by(build.pk, "agreed", reason="  ", by=owner, now=now)


@pytest.mark.parametrize(
    ("stage", "code"),
    [
        (State.INTAKE, "cell"),
        (State.INTAKE, "stands"),
        (State.TEARDOWN, "cell"),
        (State.DISPATCH, "cell-aside"),
        (State.DISPATCH, "parcel"),
    ],
)
def test_nobody_passes(stage: str, code: str, owner: User, now: datetime) -> None:
    build = make_build(owner, now, stage)
    if code == "cell-aside":
        check_cell(build, owner, now, "aside")
    with pytest.raises(Refused, match="Nobody can pass"):
        gates.let_by(build.pk, code, reason="I say so", by=owner, now=now)


def test_row_of_a_pass_does_not_open_what_nobody_passes(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN, kind=Kind.REPAIR)
    passing = {"stage": "teardown", "code": "cell", "reason": "x", "stay_since": now}
    Pass.objects.create(build=build, **passing, by=owner, at=now)
    with pytest.raises(GateClosed, match="Cell not checked"):
        gates.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)


def test_hold_is_not_passed(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    held = put_on_hold(build, owner, now)
    with pytest.raises(Refused, match="Nobody can pass"):
        gates.let_by(build.pk, f"hold-{held.pk}", reason="go on", by=owner, now=now)


def test_what_is_met_is_not_passed(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    answer(build, "agreed", owner, now)
    with pytest.raises(Refused, match="nothing to pass"):
        gates.let_by(build.pk, "agreed", reason="sure", by=owner, now=now)


def test_pass_of_one_stage_opens_no_other(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    gates.let_by(build.pk, "arrived", reason="on the way", by=owner, now=now)
    Build.objects.filter(pk=build.pk).update(state=State.INTAKE)
    with pytest.raises(GateClosed, match="Not arrived yet"):
        advance(build, State.INTAKE, owner, now)


def let_out_of_install(by: User, now: datetime) -> Move:
    """A move out of install that the owner's word alone made possible."""
    build = make_build(by, now, State.INSTALL)
    let_by_all(build, by, now)
    return advance(build, State.INSTALL, by, now)


def let_by_all(build: Build, by: User, now: datetime) -> None:
    """The owner's word for all that is missing."""
    for code in ("parts", "slots"):
        gates.let_by(build.pk, code, reason="as the customer brought it", by=by, now=now)


def test_owners_word_does_not_outlive_rework(owner: User, now: datetime) -> None:
    build, back = let_out_of_install(owner, now).build, now + timedelta(hours=1)
    rework = {"reason": "it flickers", "caused_in": State.INSTALL, "expected": State.TEST}
    gates.send_back(build.pk, State.INSTALL, token=uuid4(), **rework, by=owner, now=back)
    with pytest.raises(GateClosed):
        advance(build, State.INSTALL, owner, back)
    let_by_all(build, owner, back)
    assert advance(build, State.INSTALL, owner, back).to_state == State.TEST
    assert Entry.objects.filter(verb="passed", about=build.about).count() == 4


def test_owners_word_stands_where_the_move_was_taken_back(owner: User, now: datetime) -> None:
    moved, soon = let_out_of_install(owner, now), now + timedelta(seconds=30)
    gates.undo(moved.pk, token=uuid4(), by=owner, now=soon)
    assert advance(moved.build, State.INSTALL, owner, soon).to_state == State.TEST


def test_database_refuses_one_word_twice_in_a_stay(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    facts = {"build": build, "stage": "booked", "code": "agreed", "reason": "x", "by": owner}
    twice = [Pass(**facts, at=now, stay_since=now) for _ in range(2)]
    with pytest.raises(IntegrityError), transaction.atomic():
        Pass.objects.bulk_create(twice)
    with pytest.raises(IntegrityError), transaction.atomic():
        Pass.objects.bulk_create([Pass(**facts, at=now, stay_since=now + timedelta(days=1))])


# Endings


@pytest.mark.parametrize("ending", [State.INSTALL, State.DISPATCH, State.BOOKED, "limbo"])
def test_ending_is_no_way_round_a_gate(ending: str, owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    with pytest.raises(Refused, match="Say how it ends"):
        gates.end(
            build.pk, ending, token=uuid4(), expected=State.TEARDOWN, reason="x", by=owner, now=now
        )


def test_sent_is_ticked_off_not_ended(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    with pytest.raises(Refused, match="ticking its parcel"):
        gates.end(
            build.pk, State.SENT, token=uuid4(), expected=State.DISPATCH, reason="", by=owner,
            now=now,
        )  # fmt: skip


def test_damaged_cell_goes_back_with_no_hilt(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    check_cell(build, owner, now, "aside")
    facts = {"token": uuid4(), "expected": State.INSTALL, "by": owner, "now": now}
    with pytest.raises(GateClosed, match="set aside as damaged"):
        gates.end(build.pk, State.RETURNED, reason="changed her mind", **facts)
    check_cell(build, owner, now, "none")
    ended = gates.end(build.pk, State.RETURNED, reason="changed her mind", **facts)
    assert ended.to_state == State.RETURNED


def test_collected_leaves_without_parcel(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH, leaves_by=Leaves.COLLECTION)
    intake.make_default_views()
    hand_over(build, owner, now)
    facts = {"token": uuid4(), "expected": State.DISPATCH, "by": owner, "now": now}
    assert gates.end(build.pk, State.COLLECTED, reason="", **facts).to_state == State.COLLECTED


@pytest.mark.parametrize(
    ("stage", "leaves_by"), [(State.TEST, Leaves.COLLECTION), (State.DISPATCH, Leaves.POST)]
)
def test_collected_from_elsewhere_is_refused_by_the_way_it_leaves(
    stage: str, leaves_by: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, stage, leaves_by=leaves_by)
    facts = {"token": uuid4(), "expected": stage, "by": owner, "now": now}
    with pytest.raises(progress.Refused, match="agreed"):
        gates.end(build.pk, State.COLLECTED, reason="", **facts)


def test_build_in_a_closed_parcel_neither_goes_back_nor_ends(owner: User, now: datetime) -> None:
    parcel, (build,) = parcel_with(owner, now, 1)
    facts = {"token": uuid4(), "expected": State.DISPATCH, "by": owner, "now": now}
    with pytest.raises(Refused, match="Take it out of the parcel first"):
        gates.send_back(build.pk, State.TEST, reason="dead", caused_in=State.TEST, **facts)
    with pytest.raises(Refused, match="Take it out of the parcel first"):
        gates.end(build.pk, State.WITHDRAWN, reason="no", **facts)
    open_parcel(parcel.pk, owner, now)
    gates.send_back(build.pk, State.TEST, reason="dead", caused_in=State.TEST, **facts)
    assert states(build) == [State.TEST]


def test_going_back_is_no_way_forward(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    facts = {"token": uuid4(), "expected": State.TEARDOWN, "by": owner, "now": now}
    for to in (State.INSTALL, State.WITHDRAWN):
        with pytest.raises(Refused, match="earlier stage"):
            gates.send_back(build.pk, to, reason="x", caused_in=State.TEST, **facts)


@pytest.mark.parametrize("to", [State.INTAKE, State.TEARDOWN])
def test_cell_is_looked_at_again_before_a_finished_hilt_is_taken_apart(
    to: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST)
    check_cell(build, owner, now)
    later, gate = now + timedelta(days=9), {State.INTAKE: LEAVE, State.TEARDOWN: START}[State(to)]
    facts = {"token": uuid4(), "expected": State.TEST, "by": owner, "now": later}
    gates.send_back(build.pk, to, reason="dead switch", caused_in=State.INSTALL, **facts)
    assert "with parts inside" in _cell_condition(build, gate).text
    assert not _cell_condition(build, gate).is_open
    check_cell(build, owner, later + timedelta(minutes=5))
    assert _cell_condition(build, gate).is_open


def test_undone_move_asks_for_no_second_look(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN, kind=Kind.REPAIR)
    check_cell(build, owner, now)
    moved = advance(build, State.TEARDOWN, owner, now)
    gates.undo(moved.pk, token=uuid4(), by=owner, now=now + timedelta(seconds=9))
    assert _cell_condition(build, START).is_open


def _cell_condition(build: Build, gate: str) -> Condition:
    found = conditions([build.pk], gate)[build.pk]
    return next(condition for condition in found if condition.code == "cell")


# Parcels that leave


@pytest.mark.parametrize(
    ("day", "why"),
    [
        (date(2026, 11, 23), "That day is past"),
        (date(2026, 11, 26), "Nothing leaves on Thursday 26 November"),
        (date(9999, 12, 29), "Nothing leaves on"),
    ],
)
def test_parcel_is_closed_for_a_dispatch_day_alone(
    day: date, why: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    with pytest.raises(Refused, match=why):
        gates.pack([build.pk], day=day, token=uuid4(), by=owner, now=now)


def test_packing_asks_all_but_the_parcel(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    facts = {"day": FRIDAY, "token": uuid4(), "by": owner, "now": now}
    check_cell(build, owner, now, "aside")
    with pytest.raises(GateClosed, match="set aside as damaged"):
        gates.pack([build.pk], **facts)
    check_cell(build, owner, now)
    parcel = gates.pack([build.pk, build.pk], **facts)
    assert gates.pack([build.pk], **facts) == parcel
    assert parcel.packed.count() == 1


def test_parcel_leaves_whole_and_once(owner: User, now: datetime) -> None:
    parcel, pair = parcel_with(owner, now, 2)
    assert len(gates.leave(parcel.pk, by=owner, now=now)) == 2
    assert gates.leave(parcel.pk, by=owner, now=now + timedelta(seconds=2)) == []
    assert states(*pair) == [State.SENT] * 2
    assert Move.objects.count() == 2


def test_sent_hilts_have_pages_of_their_own(owner: User, now: datetime) -> None:
    parcel, pair = parcel_with(owner, now, 2)
    gates.leave(parcel.pk, by=owner, now=now)
    abouts = {build.hilt.about for build in pair if build.hilt}
    made = PrivateLink.objects.filter(scope=Scope.HILT, expires_on=None)
    assert set(made.values_list("about", flat=True)) == abouts


def test_parcel_with_one_build_that_may_not_go_stays_whole(owner: User, now: datetime) -> None:
    parcel, pair = parcel_with(owner, now, 2)
    put_on_hold(pair[1], owner, now)
    with pytest.raises(GateClosed):
        gates.leave(parcel.pk, by=owner, now=now)
    parcel.refresh_from_db()
    assert parcel.left_at is None
    assert states(*pair) == [State.DISPATCH] * 2


def test_parcel_with_a_build_that_is_no_longer_in_dispatch_stays(
    owner: User, now: datetime
) -> None:
    parcel, pair = parcel_with(owner, now, 2)
    Build.objects.filter(pk=pair[0].pk).update(state=State.TEST)
    with pytest.raises(Overtaken):
        gates.leave(parcel.pk, by=owner, now=now)
    assert states(*pair) == [State.TEST, State.DISPATCH]


def test_move_is_not_undone_once_a_part_went_in(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    facts = {"token": uuid4(), "by": owner, "now": now}
    moved = progress.move(build.pk, expected=State.TEARDOWN, to=State.INSTALL, **facts)
    fit_a_part(build, owner, now + timedelta(seconds=5))
    with pytest.raises(gates.Refused, match="fitted meanwhile"):
        gates.undo(moved.pk, token=uuid4(), by=owner, now=now + timedelta(seconds=9))
    build.refresh_from_db()
    assert build.state == State.INSTALL


def test_undo_of_one_build_brings_the_whole_parcel_back(owner: User, now: datetime) -> None:
    parcel, pair = parcel_with(owner, now, 3)
    moves = gates.leave(parcel.pk, by=owner, now=now)
    told = [tell(move, now) for move in moves]
    later = now + timedelta(seconds=30)
    gates.undo(moves[1].pk, token=uuid4(), by=owner, now=later)
    parcel.refresh_from_db()
    assert (parcel.left_at, parcel.left_by) == (None, None)
    assert states(*pair) == [State.DISPATCH] * 3
    assert [Message.objects.get(pk=one.pk).state for one in told] == ["withdrawn"] * 3
    assert len(gates.leave(parcel.pk, by=owner, now=later)) == 3


def test_late_repeat_of_an_undo_does_not_bring_back_a_parcel_that_left_again(
    owner: User, now: datetime
) -> None:
    parcel, (build,) = parcel_with(owner, now, 1)
    (sent,) = gates.leave(parcel.pk, by=owner, now=now)
    token = uuid4()
    first = gates.undo(sent.pk, token=token, by=owner, now=now)
    gates.leave(parcel.pk, by=owner, now=now + timedelta(seconds=5))
    assert gates.undo(sent.pk, token=token, by=owner, now=now) == first
    parcel.refresh_from_db()
    assert parcel.left_at is not None
    assert states(build) == [State.SENT]


def test_undo_after_the_minute_leaves_the_parcel_gone(owner: User, now: datetime) -> None:
    parcel, (build,) = parcel_with(owner, now, 1)
    (sent,) = gates.leave(parcel.pk, by=owner, now=now)
    with pytest.raises(progress.Refused, match="one minute"):
        gates.undo(sent.pk, token=uuid4(), by=owner, now=now + timedelta(seconds=61))
    parcel.refresh_from_db()
    assert parcel.left_at == now
    assert states(build) == [State.SENT]


def test_tray_of_another_build_in_the_parcel_is_asked_for_by_name(
    owner: User, now: datetime
) -> None:
    parcel, pair = parcel_with(owner, now, 2)
    sent = gates.leave(parcel.pk, by=owner, now=now)[0]
    tray, other = pair[1].tray, make_build(owner, now)
    progress.put(other.pk, tray=tray, place=None, by=owner, now=now)
    with pytest.raises(TrayTaken, match=f"Tray {tray} holds") as told:
        gates.undo(sent.pk, token=uuid4(), by=owner, now=now)
    assert told.value.build == pair[1]
    assert states(*pair) == [State.SENT] * 2
    fresh = make_tray()
    gates.undo(sent.pk, token=uuid4(), by=owner, now=now, trays={pair[1].pk: fresh})
    assert states(*pair) == [State.DISPATCH] * 2
    assert Build.objects.get(pk=pair[1].pk).tray == fresh


def test_undo_withdraws_what_the_move_said(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    prove(build, owner, now)
    moved = advance(build, State.TEST, owner, now)
    message = tell(moved, now)
    gates.undo(moved.pk, token=uuid4(), by=owner, now=now)
    message.refresh_from_db()
    assert message.state == "withdrawn"


def test_undo_out_of_dispatch_wants_the_parcel_opened(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    prove(build, owner, now)
    moved = advance(build, State.TEST, owner, now)
    make_parcel([build], owner, now)
    with pytest.raises(Refused, match="Take it out of the parcel first"):
        gates.undo(moved.pk, token=uuid4(), by=owner, now=now)


def test_undo_of_sent_without_a_parcel_is_an_undo(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    moved = progress.move(
        build.pk, token=uuid4(), expected=State.DISPATCH, to=State.SENT, by=owner, now=now
    )
    gates.undo(moved.pk, token=uuid4(), by=owner, now=now)
    assert states(build) == [State.DISPATCH]


# At the same moment


@pytest.mark.django_db(transaction=True)
def test_parcel_ticked_off_on_many_tablets_leaves_once(owner: User, now: datetime) -> None:
    parcel, pair = parcel_with(owner, now, 2)
    answers = at_once(
        *[
            lambda n=n: gates.leave(parcel.pk, by=owner, now=now + timedelta(milliseconds=n))
            for n in range(4)
        ]
    )
    assert sorted(map(len, answers)) == [0, 0, 0, 2]
    assert states(*pair) == [State.SENT] * 2


@pytest.mark.django_db(transaction=True)
def test_undo_of_two_builds_of_a_parcel_at_once_does_not_lock_up(
    owner: User, bench_hand: User, now: datetime
) -> None:
    for _round in range(5):
        parcel, pair = parcel_with(owner, now, 2)
        moves = gates.leave(parcel.pk, by=owner, now=now)
        answers = at_once(
            *[
                lambda move=move: gates.undo(move.pk, token=uuid4(), by=bench_hand, now=now)
                for move in moves
            ]
        )
        assert Counter(map(type, answers)) == {Move: 1, progress.Refused: 1}
        assert states(*pair) == [State.DISPATCH] * 2


@pytest.mark.django_db(transaction=True)
def test_parcel_leaves_or_its_build_goes_back_never_both(owner: User, now: datetime) -> None:
    for _round in range(5):
        parcel, (build,) = parcel_with(owner, now, 1)
        facts = {"token": uuid4(), "expected": State.DISPATCH, "by": owner, "now": now}

        def back(build: Build = build, facts: dict[str, Any] = facts) -> Move:
            return gates.send_back(
                build.pk, State.TEST, reason="dead", caused_in=State.TEST, **facts
            )

        def leave(parcel: Parcel = parcel) -> list[Move]:
            return gates.leave(parcel.pk, by=owner, now=now)

        def open_it(parcel: Parcel = parcel) -> Parcel:
            return open_parcel(parcel.pk, owner, now)

        at_once(back, leave, open_it)
        parcel.refresh_from_db()
        left, opened = parcel.left_at is not None, parcel.opened_at is not None
        assert left != opened
        stands = {State.SENT} if left else {State.DISPATCH, State.TEST}
        assert set(states(build)) <= stands


@pytest.mark.django_db(transaction=True)
def test_cell_check_waits_for_a_gate_that_is_being_asked(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    asking, looked = Event(), Event()

    def ask() -> bool:
        with transaction.atomic():
            progress.locked(build.pk)
            asking.set()
            return looked.wait(0.5)

    def look() -> None:
        asking.wait(10)
        check_cell(build, owner, now, "aside")
        looked.set()

    looked_while_asking, _none = at_once(ask, look)
    assert looked_while_asking is False
    assert looked.is_set()


def test_parcel_refusals_are_sentences(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    prove(build, owner, now)
    facts = {"day": FRIDAY, "token": uuid4(), "by": owner, "now": now}
    with pytest.raises(ParcelRefused, match="not in dispatch yet"):
        gates.pack([build.pk], **facts)
