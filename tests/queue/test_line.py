"""The line: every open build with what is left of it, in the order in which it is taken."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.models import Build, LinePlace, Stretch
from builds.progress import actions as progress
from builds.progress.states import Kind, Leaves, Spent, State
from builds.proving import actions as proving
from builds.proving.models import SheetLine
from builds.queue.actions import promise
from builds.queue.actions.reckoning import reckon
from builds.queue.models import StageLimit
from builds.queue.queries import line
from builds.queue.remedies import in_danger
from builds.queue.values import ANSWER, ITEM, PAYMENT, Line, reckoned
from shop.diary.forecast import Job, Stage
from shop.diary.models import Closure, DayOff, ExtraDay
from shop.diary.queries import calendar
from shop.house.models import House
from shop.house.queries import house
from shop.models import User
from shop.people.models import Role
from tests.crowd import ended_builds
from tests.makers import FRIDAY, make_build, make_customer, make_parcel, put_on_hold
from tests.queue.past import make_past, stands_ready

pytestmark = pytest.mark.django_db
DAY, HOUR = timedelta(days=1), timedelta(hours=1)


def job_of(build: Build, now: datetime) -> Job:
    return next(job for job in line(now).jobs if job.key == build.pk)


def stage_of(build: Build, code: str, now: datetime) -> Stage:
    return next(stage for stage in job_of(build, now).stages if stage.code == code)


def order(now: datetime) -> list[int]:
    return [job.key for job in line(now).jobs]


# What is left


def test_build_has_its_own_stage_and_those_after_it_before_it(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    assert [stage.code for stage in job_of(build, now).stages] == ["install", "test", "dispatch"]


def test_booked_build_has_them_all_and_is_not_opened(owner: User, now: datetime) -> None:
    job = job_of(make_build(owner, now), now)
    assert len(job.stages) == 5
    assert not job.is_opened


def test_ended_build_is_in_no_line(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN)
    assert order(now) == []


def test_time_worked_is_taken_off_its_own_stage(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    progress.add_work(
        build.pk, minutes=150, stage=State.INSTALL, spent_on=Spent.WORK, token=uuid4(), by=owner,
        now=now,
    )  # fmt: skip
    assert stage_of(build, "install", now).worked_h == 2.5
    assert stage_of(build, "test", now).worked_h == 0


def test_rework_is_not_taken_off(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    progress.add_work(
        build.pk, minutes=150, stage=State.INSTALL, spent_on=Spent.STUCK, token=uuid4(), by=owner,
        now=now,
    )  # fmt: skip
    assert stage_of(build, "install", now).worked_h == 0


def test_timer_that_runs_counts_as_it_runs(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    progress.begin_work(build.pk, token=uuid4(), by=owner, now=now)
    assert stage_of(build, "install", now + 2 * HOUR).worked_h == 2


def test_forgotten_timer_eats_up_a_day_at_most(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    progress.begin_work(build.pk, token=uuid4(), by=owner, now=now)
    assert stage_of(build, "install", now + 3 * DAY).worked_h == 8


def test_timer_that_was_ended_days_later_counts_to_the_end_of_its_day(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.INSTALL)
    begun = progress.begin_work(build.pk, token=uuid4(), by=owner, now=now)
    progress.end_work(begun.pk, by=owner, now=now + 3 * DAY)
    closes = datetime(2026, 11, 25, 17, 30, tzinfo=UTC)
    assert stage_of(build, "install", now + 4 * DAY).worked_h == pytest.approx(
        (closes - now) / HOUR, abs=0.02
    )


def test_long_timer_that_somebody_stands_by_counts_whole(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    begun = progress.begin_work(build.pk, token=uuid4(), by=owner, now=now)
    progress.end_work(begun.pk, by=owner, now=now + 14 * HOUR)
    Stretch.objects.update(said_at=now + DAY, said_by=owner)
    assert stage_of(build, "install", now + DAY).worked_h == 14


def test_burn_in_and_rest_need_no_hands(owner: User, now: datetime) -> None:
    proving.fill_sheet(by=owner, now=now)
    build = make_build(owner, now, State.TEST)
    asked = SheetLine.objects.filter(code__in=["burn-in", "rest"]).values_list("minutes", flat=True)
    assert stage_of(build, "test", now).rest_h == pytest.approx(sum(map(int, asked)) / 60)
    assert stage_of(build, "dispatch", now).rest_h == 0


def test_blade_alone_has_no_cell_to_rest(owner: User, now: datetime) -> None:
    proving.fill_sheet(by=owner, now=now)
    build = make_build(owner, now, kind=Kind.BLADE)
    assert stage_of(build, "test", now).rest_h == 0


def crowd_ahead(owner: User, now: datetime, most: int = 12) -> None:
    """So much work that what stands behind it waits for weeks."""
    ahead = [make_build(owner, now, State.INSTALL) for _ in range(most)]
    LinePlace.objects.bulk_create(
        LinePlace(build=build, place=place) for place, build in enumerate(ahead, 1)
    )


def test_what_lies_packed_leaves_on_its_day_whatever_stands_ahead(
    owner: User, now: datetime
) -> None:
    make_past(20, owner, now)
    crowd_ahead(owner, now)
    build = make_build(owner, now, State.DISPATCH)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    assert reckoned(line(now), 200)[build.pk].odds == 0
    make_parcel([build], owner, now)
    seen = reckoned(line(now), 200)[build.pk]
    assert (seen.odds, {*seen.days}) == (1.0, {FRIDAY.toordinal()})


def test_what_lies_packed_for_too_late_a_day_is_in_no_danger(owner: User, now: datetime) -> None:
    make_past(20, owner, now)
    crowd_ahead(owner, now)
    build = make_build(owner, now, State.DISPATCH)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    make_parcel([build], owner, now)
    later = now + 7 * DAY
    found = line(later)
    assert in_danger(found, reckoned(found, 200), 0.8) == []
    run = reckon(later)
    outlook = run.outlooks.get(build=build)
    assert (outlook.odds, outlook.due, outlook.remedy) == (None, None, "")
    assert outlook.day_80 == FRIDAY + 7 * DAY


def test_what_lies_packed_takes_nobodys_place(owner: User, now: datetime) -> None:
    House.objects.update(most_opened=1)
    other = make_build(owner, now)
    before = reckoned(line(now), 200)[other.pk].finish_min
    make_parcel([make_build(owner, now, State.DISPATCH)], owner, now)
    assert reckoned(line(now), 200)[other.pk].finish_min == before


def test_what_stands_ready_is_in_time_whenever_it_is_fetched(owner: User, now: datetime) -> None:
    make_past(20, owner, now)
    crowd_ahead(owner, now)
    build = make_build(owner, now, State.DISPATCH, leaves_by=Leaves.COLLECTION)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    assert line(now).ready == {}
    stands_ready(build, owner, now)
    later = now + 7 * DAY
    assert {*line(later).ready} == {build.pk}
    assert reckoned(line(later), 200)[build.pk].odds == 1.0


def test_what_is_fetched_may_be_ready_on_a_day_on_which_nothing_leaves(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, leaves_by=Leaves.COLLECTION)
    posted = make_build(owner, now, State.TEST)
    seen = reckoned(line(now), 200)
    leaves = {date.fromordinal(day or 1).weekday() for day in seen[posted.pk].days}
    ready = {date.fromordinal(day or 1) for day in seen[build.pk].days}
    assert leaves <= set(calendar(house()).dispatch_weekdays)
    assert any(not calendar(house()).is_dispatch_day(day) for day in ready)
    assert all(calendar(house()).is_working_day(day) for day in ready)


def test_build_to_be_collected_is_finished_as_one_that_is_posted(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, leaves_by=Leaves.COLLECTION)
    assert [stage.code for stage in job_of(build, now).stages] == ["test", "dispatch"]


def test_hours_are_learned_from_what_was_finished(owner: User, now: datetime) -> None:
    make_past(20, owner, now)
    assert line(now).finished == {"full": 20, "upgrade": 0, "repair": 0, "warranty": 0, "blade": 0}


# A new order


@pytest.mark.parametrize(
    ("kind", "deposit", "causes"),
    [
        (Kind.FULL, 0, {ITEM, ANSWER}),
        (Kind.FULL, 3000, {ITEM, ANSWER, PAYMENT}),
        (Kind.WARRANTY, 3000, {ITEM, ANSWER}),
        (Kind.BLADE, 3000, {ANSWER, PAYMENT}),
    ],
)
def test_new_order_waits_for_what_a_booked_one_waits_for(
    kind: Kind, deposit: int, causes: set[str], house: House, now: datetime
) -> None:
    House.objects.update(deposit_hundredths=deposit)
    intake, *later = line(now).new[kind]
    assert {wait.cause for wait in intake.waits} == causes
    assert not any(stage.waits for stage in later)


# The order


def test_without_places_the_nearer_day_is_first_then_the_older_number(
    owner: User, now: datetime
) -> None:
    old, new, urgent = (make_build(owner, now) for _ in range(3))
    promise(urgent, FRIDAY, reason="", by=owner, now=now)
    assert order(now) == [urgent.pk, old.pk, new.pk]


def test_places_that_were_set_come_before_the_days(owner: User, now: datetime) -> None:
    urgent, late, other = (make_build(owner, now) for _ in range(3))
    promise(urgent, FRIDAY, reason="", by=owner, now=now)
    LinePlace.objects.create(build=other, place=1)
    LinePlace.objects.create(build=late, place=2)
    assert order(now) == [other.pk, late.pk, urgent.pk]


# Who works


def test_only_who_works_at_the_bench_counts(owner: User, bench_hand: User, now: datetime) -> None:
    User.objects.filter(pk=owner.pk).update(at_bench=False)
    assert [worker.name for worker in line(now).workers] == [bench_hand.name]


# The mark


@dataclass(frozen=True)
class Given:
    """What a change is made on."""

    build: Build
    by: User
    now: datetime


def change_place(given: Given) -> Any:
    promise(make_build(given.by, given.now), FRIDAY, reason="", by=given.by, now=given.now)
    before = line(given.now).mark
    LinePlace.objects.create(build=given.build, place=1)
    assert line(given.now).mark != before


def change_work(given: Given) -> Any:
    return progress.add_work(
        given.build.pk, minutes=30, stage=State.INSTALL, spent_on=Spent.WORK, token=uuid4(),
        by=given.by, now=given.now,
    )  # fmt: skip


def change_replies(given: Given) -> Any:
    held = put_on_hold(make_build(given.by, given.now), given.by, given.now - 3 * DAY)
    put_on_hold(given.build, given.by, given.now)
    before = line(given.now).mark
    progress.end_hold(held.pk, by=given.by, now=given.now)
    assert line(given.now).mark != before


CHANGES: dict[str, Callable[[Given], Any]] = {
    "another build": lambda it: make_build(it.by, it.now),
    "a state": lambda it: Build.objects.filter(pk=it.build.pk).update(state="test"),
    "a promise": lambda it: promise(it.build, FRIDAY, reason="", by=it.by, now=it.now),
    "a hold": lambda it: put_on_hold(it.build, it.by, it.now),
    "a place in the line": change_place,
    "time worked": change_work,
    "a timer": lambda it: progress.begin_work(it.build.pk, token=uuid4(), by=it.by, now=it.now),
    "a finished build": lambda it: make_past(1, it.by, it.now),
    "what a hold has taught": change_replies,
    "a closure": lambda _: Closure.objects.create(first=FRIDAY, last=FRIDAY),
    "a day off": lambda it: DayOff.objects.create(person=it.by, first=FRIDAY, last=FRIDAY),
    "a day more": lambda it: ExtraDay.objects.create(
        person=it.by, day=date(2026, 11, 28), opens=time(9), closes=time(12)
    ),
    "somebody new": lambda _: User.objects.create(
        email="a@larkhill.example", name="A", role=Role.BENCH
    ),
    "a limit of a stage": lambda _: StageLimit.objects.create(stage="install", most=1),
    "how many are opened": lambda _: House.objects.update(most_opened=2),
    "the share of the day": lambda _: House.objects.update(planned_percent=60),
    "the cut-off": lambda _: House.objects.update(cut_off=time(12)),
    "the least odds": lambda _: House.objects.update(least_odds_percent=50),
}


@pytest.mark.parametrize("what", CHANGES)
def test_mark_changes_with(what: str, owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    before = line(now).mark
    CHANGES[what](Given(build, owner, now))
    assert line(now).mark != before


def test_mark_does_not_change_with_time(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    progress.begin_work(build.pk, token=uuid4(), by=owner, now=now)
    put_on_hold(make_build(owner, now), owner, now - DAY)
    assert line(now).mark == line(now + 5 * HOUR).mark


# What reading it costs


def _read(now: datetime) -> tuple[Line, list[str]]:
    with CaptureQueriesContext(connection) as asked:
        found = line(now)
    return found, [query["sql"] for query in asked]


def _open(many: int, by: User, now: datetime) -> None:
    for n in range(many):
        build = make_build(by, now, (State.BOOKED, State.INTAKE, State.INSTALL, State.TEST)[n % 4])
        promise(build, FRIDAY, reason="", by=by, now=now)
        put_on_hold(build, by, now)


def test_line_takes_as_many_queries_however_long(owner: User, now: datetime) -> None:
    _open(4, owner, now)
    make_past(3, owner, now)
    few = _read(now)[1]
    _open(8, owner, now)
    make_past(30, owner, now)
    ended_builds(40, make_customer(now), owner, now)
    found, many = _read(now)
    assert len(found.jobs) == 12
    assert len(many) == len(few)


def test_line_does_not_read_what_ended_row_by_row(owner: User, now: datetime) -> None:
    """Only waits that are recent teach anything: sixty of a reason, whatever lies in the past."""
    ended_builds(80, make_customer(now), owner, now)
    of_the_past = ('"builds_hold"."ended_at" >=', '"answered_at" >=', '"builds_move"."at" >=')
    for what in of_the_past:
        asked = [sql for sql in _read(now)[1] if what in sql]
        assert asked, what
        assert all(" LIMIT " in sql for sql in asked), what


def test_line_reads_no_more_of_the_finished_builds_than_teaches(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builds.progress.worked.NEWEST", 4)
    make_past(4, owner, now)
    few = _rows_read(now)
    make_past(12, owner, now)
    assert line(now).finished["full"] == 4
    assert _rows_read(now) == few


def _rows_read(now: datetime) -> int:
    """How many rows all queries of one reading hand out."""
    found = 0
    for sql in _read(now)[1]:
        with connection.cursor() as rows:
            rows.execute(sql)
            found += len(rows.fetchall())
    return found


def test_stretches_of_other_builds_are_not_taken_off(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    make_past(2, owner, now)
    assert Stretch.objects.count() == 10
    assert stage_of(build, "install", now).worked_h == 0
