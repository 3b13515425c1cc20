"""Time worked: timers that start, stop, are forgotten and put right."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from builds.gates import actions as gates
from builds.models import Build, Stretch
from builds.progress import actions as progress
from builds.progress.actions import Overtaken, Refused
from builds.progress.states import Spent, State
from builds.progress.worked import (
    forgotten,
    is_doubtful,
    minutes_by_stage,
    past_by_kind,
    running,
    running_of,
)
from shop.diary.queries import calendar
from shop.history.models import Entry
from shop.house.models import House
from shop.models import User
from tests.makers import make_build

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


def _begin(build: Build, by: User, now: datetime, spent_on: str = "") -> Stretch:
    build.refresh_from_db()
    return progress.begin_work(build.pk, token=uuid4(), spent_on=spent_on, by=by, now=now)


def test_timer_starts_the_stage_that_waits(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    gates.begin_work(build.pk, expected=State.INSTALL, token=uuid4(), by=owner, now=now)
    build.refresh_from_db()
    assert (build.started_at, build.started_by) == (now, owner)
    assert running()[0].stage == State.INSTALL


def test_double_tap_starts_one_timer(owner: User, now: datetime) -> None:
    build, token = make_build(owner, now, State.INSTALL), uuid4()
    for _tap in range(2):
        gates.begin_work(build.pk, expected=State.INSTALL, token=token, by=owner, now=now)
    assert Stretch.objects.count() == 1


def test_timer_on_a_second_tablet_is_the_one_that_runs(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    assert _begin(build, owner, now) == _begin(build, owner, now + HOUR)


def test_one_timer_runs_a_person(owner: User, bench_hand: User, now: datetime) -> None:
    first, second = make_build(owner, now, State.INSTALL), make_build(owner, now, State.TEST)
    ended = _begin(first, owner, now)
    _begin(first, bench_hand, now)
    runs = _begin(second, owner, now + HOUR)
    ended.refresh_from_db()
    assert (ended.ended_at, ended.minutes) == (now + HOUR, 60)
    assert {each.by for each in running()} == {owner, bench_hand}
    assert running_of([second.pk]) == {second.pk: [runs]}


def test_timer_that_was_tapped_earlier_does_not_end_a_later_one(owner: User, now: datetime) -> None:
    first, second = make_build(owner, now, State.INSTALL), make_build(owner, now, State.TEST)
    later = _begin(second, owner, now + 2 * HOUR)
    with pytest.raises(Refused, match="began later"):
        _begin(first, owner, now + HOUR)
    assert running() == [later]


def test_timer_does_not_begin_before_its_stage(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    Build.objects.filter(pk=build.pk).update(state_since=now)
    begun = gates.begin_work(
        build.pk, expected=State.INSTALL, token=uuid4(), by=owner, now=now - HOUR
    )
    build.refresh_from_db()
    assert (begun.begun_at, build.started_at) == (now, now)


def test_the_database_holds_one_timer_a_person(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    _begin(build, owner, now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Stretch.objects.create(build=build, token=uuid4(), stage=State.TEST, by=owner, begun_at=now)


def test_stopped_twice_is_stopped_once(owner: User, bench_hand: User, now: datetime) -> None:
    begun = _begin(make_build(owner, now, State.INSTALL), owner, now)
    progress.end_work(begun.pk, by=owner, now=now + HOUR)
    again = progress.end_work(begun.pk, by=bench_hand, now=now + 2 * HOUR)
    assert again.minutes == 60
    assert Entry.objects.filter(verb="worked").count() == 1


def test_a_move_ends_what_runs_and_its_undo_lets_it_run_on(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    begun = _begin(build, owner, now)
    moved = progress.move(
        build.pk, token=uuid4(), expected=State.TEARDOWN, to=State.INSTALL, by=owner, now=now + HOUR
    )
    begun.refresh_from_db()
    assert begun.minutes == 60
    progress.undo(moved.pk, token=uuid4(), by=owner, now=now + HOUR + timedelta(seconds=20))
    begun.refresh_from_db()
    assert begun.ended_at is None


def test_undo_does_not_start_a_second_timer(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    _begin(build, owner, now)
    moved = progress.move(
        build.pk, token=uuid4(), expected=State.TEARDOWN, to=State.INSTALL, by=owner, now=now + HOUR
    )
    other = _begin(make_build(owner, now, State.TEST), owner, now + HOUR)
    progress.undo(moved.pk, token=uuid4(), by=owner, now=now + HOUR + timedelta(seconds=20))
    assert running() == [other]


@pytest.mark.parametrize("state", [State.BOOKED, State.SENT])
def test_nothing_runs_on_what_is_not_in_the_shop(owner: User, now: datetime, state: str) -> None:
    build = make_build(owner, now)
    Build.objects.filter(pk=build.pk).update(state=state)
    with pytest.raises(Refused, match="nothing to work on"):
        _begin(build, owner, now)


def test_a_build_that_moved_on_is_not_timed_unseen(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    with pytest.raises(Overtaken):
        gates.begin_work(build.pk, expected=State.INSTALL, token=uuid4(), by=owner, now=now)


def test_a_stage_done_before_is_rework(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    progress.move(
        build.pk, token=uuid4(), expected=State.TEST, to=State.INSTALL, by=owner, now=now,
        reason="cold joint", caused_in=State.INSTALL,
    )  # fmt: skip
    assert _begin(build, owner, now).spent_on == Spent.REWORK


def test_a_stage_that_is_new_is_the_work_itself(owner: User, now: datetime) -> None:
    assert _begin(make_build(owner, now, State.TEST), owner, now).spent_on == Spent.WORK


def test_time_put_right_is_told(owner: User, bench_hand: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    begun = _begin(build, bench_hand, now)
    right = progress.put_work_right(
        begun.pk, minutes=90, stage=State.TEARDOWN, spent_on=Spent.STUCK, seen=None,
        by=owner, now=now + 20 * HOUR,
    )  # fmt: skip
    assert (right.said_by, right.ended_at) == (owner, now + timedelta(minutes=90))
    assert minutes_by_stage(build.pk) == {(State.TEARDOWN, Spent.STUCK): 90}
    told = Entry.objects.get(verb="work_put_right")
    assert (told.actor, told.parameters["minutes"]) == (owner, 90)


def test_nobody_puts_right_another_hands_time(owner: User, bench_hand: User, now: datetime) -> None:
    begun = _begin(make_build(owner, now, State.INSTALL), owner, now)
    with pytest.raises(Refused, match="Only"):
        _right(begun, bench_hand, now)


def test_the_other_tablet_put_it_right_first(owner: User, now: datetime) -> None:
    begun = _begin(make_build(owner, now, State.INSTALL), owner, now)
    _right(begun, owner, now + HOUR)
    with pytest.raises(Refused, match="meanwhile"):
        _right(begun, owner, now + HOUR)


def _right(stretch: Stretch, by: User, now: datetime, minutes: int = 30) -> Stretch:
    return progress.put_work_right(
        stretch.pk, minutes=minutes, stage=stretch.stage, spent_on=Spent.WORK, seen=None,
        by=by, now=now,
    )  # fmt: skip


def test_a_stretch_is_a_day_long_at_most(owner: User, now: datetime) -> None:
    begun = _begin(make_build(owner, now, State.INSTALL), owner, now)
    with pytest.raises(Refused, match="a day long at most"):
        _right(begun, owner, now, minutes=24 * 60 + 1)


def test_time_without_a_timer_is_written_down_once(owner: User, now: datetime) -> None:
    build, token = make_build(owner, now, State.INSTALL), uuid4()
    for _tap in range(2):
        progress.add_work(
            build.pk, minutes=45, stage=State.TEARDOWN, spent_on=Spent.WORK, token=token,
            by=owner, now=now,
        )  # fmt: skip
    assert minutes_by_stage(build.pk) == {(State.TEARDOWN, Spent.WORK): 45}


@pytest.mark.parametrize(
    ("begun", "later", "doubtful"),
    [
        # A Wednesday, nine to half past five by the shop's clock, which is UTC in winter
        ("2026-11-25 14:00", "2026-11-25 17:45", False),
        ("2026-11-25 14:00", "2026-11-25 19:31", True),
        ("2026-11-25 14:00", "2026-11-26 09:00", True),
        ("2026-11-25 20:00", "2026-11-25 23:00", False),  # begun after hours
        ("2026-11-28 10:00", "2026-11-28 22:00", False),  # on a day off
        ("2026-11-28 10:00", "2026-11-29 09:00", True),
    ],
)
def test_a_timer_that_outlasts_its_day_is_asked_about(
    owner: User, house: House, begun: str, later: str, doubtful: bool
) -> None:
    start, now = (datetime.fromisoformat(each).replace(tzinfo=UTC) for each in (begun, later))
    stretch = _begin(make_build(owner, start, State.INSTALL), owner, start)
    days = calendar(house)
    assert is_doubtful(stretch, days, now) is doubtful
    assert bool(forgotten(days, now)) is doubtful
    progress.end_work(stretch.pk, by=owner, now=now)
    assert bool(forgotten(days, now)) is doubtful  # stopping it does not say how long it was
    _right(stretch, owner, now)
    assert not forgotten(days, now)


def test_the_past_keeps_rework_and_stuck_joints_apart(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now, State.INSTALL)
    for minutes, spent_on in ((60, Spent.WORK), (30, Spent.WORK), (90, Spent.REWORK)):
        progress.add_work(
            build.pk, minutes=minutes, stage=State.INSTALL, spent_on=spent_on, token=uuid4(),
            by=owner, now=now,
        )  # fmt: skip
    assert past_by_kind(calendar(house), now) == {}
    Build.objects.filter(pk=build.pk).update(state=State.SENT, tray=None)
    past = past_by_kind(calendar(house), now)[build.kind]
    assert (past.builds, past.work_h, past.rework_h, past.stuck_h) == (
        1, {State.INSTALL: [1.5]}, [1.5], [],
    )  # fmt: skip


def test_what_is_in_doubt_is_not_learned_from(owner: User, house: House, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    begun = _begin(build, owner, now)
    progress.end_work(begun.pk, by=owner, now=now + 30 * HOUR)
    Build.objects.filter(pk=build.pk).update(state=State.SENT, tray=None)
    assert past_by_kind(calendar(house), now + 30 * HOUR) == {}
