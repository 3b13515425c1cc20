"""Runs of the forecast: when one is made, that a page reads one whole, and that old ones go."""

from datetime import date, datetime, timedelta

import pytest

from builds.models import Build
from builds.progress.states import State
from builds.queue.actions import promise
from builds.queue.actions.reckoning import reckon, reckon_at_once
from builds.queue.models import LinePlace, Outlook, Reckoning
from builds.queue.queries import dues, is_in_danger, newest, odds_of, outlooks
from builds.queue.queries.outlooks import speaks
from builds.queue.tasks import reckon as reckon_task
from builds.queue.values import GRID, RUNS, odds_by
from shop.diary.queries import calendar
from shop.house.models import House
from shop.models import User
from shop.web.reading import keeping
from tests.makers import FRIDAY, at_once, make_build, put_on_hold
from tests.queue.past import make_past

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    found = make_build(owner, now, State.INSTALL)
    promise(found, FRIDAY + timedelta(days=7), reason="", by=owner, now=now)
    return found


def test_run_says_of_every_open_build_what_is_to_be_expected(
    build: Build, owner: User, now: datetime
) -> None:
    other = make_build(owner, now)
    run = reckon(now)
    rows = {row.build_id: row for row in run.outlooks.all()}
    assert set(rows) == {build.pk, other.pk}
    mine = rows[build.pk]
    assert (run.runs, mine.place, mine.due) == (RUNS, 1, date(2026, 12, 4))
    days = [day for day in (mine.day_50, mine.day_80, mine.day_95) if day]
    assert (len(days), days) == (3, sorted(days))
    assert len(mine.moments) == len(GRID)
    assert (rows[other.pk].odds, rows[other.pk].due) == (None, None)


def test_odds_of_a_day_are_those_of_the_run(build: Build, house: House, now: datetime) -> None:
    reckon(now)
    outlook = outlooks([build.pk])[build.pk]
    due = outlook.due
    assert due is not None
    # Between two kept moments nothing is known: they may be a step of the grid apart.
    step = 1 / (len(GRID) - 1)
    assert odds_of(outlook, due, calendar(house)) == pytest.approx(outlook.odds, abs=step)
    days = [odds_of(outlook, due + timedelta(days=7 * n), calendar(house)) for n in range(-1, 6)]
    assert days == sorted(days)


def test_odds_between_the_kept_moments_are_drawn_straight() -> None:
    moments = [float(10 * n) for n in range(41)]
    assert odds_by(moments, 205.0) == pytest.approx(20.5 / 40)
    assert (odds_by(moments, -1.0), odds_by(moments, 1e6)) == (0.0, 1.0)
    assert odds_by([*moments[:21], *[None] * 20], 1e6) == 0.5
    assert odds_by([None] * 41, 1e6) == 0.0


def test_nothing_changed_so_the_run_stands(build: Build, now: datetime) -> None:
    assert reckon(now) == reckon(now + 9 * MINUTE)


def test_what_changed_makes_another(build: Build, owner: User, now: datetime) -> None:
    first = reckon(now)
    put_on_hold(build, owner, now)
    assert reckon(now + MINUTE) != first


def test_time_that_passed_makes_another(build: Build, now: datetime) -> None:
    assert reckon(now) != reckon(now + 10 * MINUTE)


def test_clock_that_was_set_back_does_not_keep_the_older_run(build: Build, now: datetime) -> None:
    ahead = reckon(now + timedelta(hours=2))
    again = reckon(now)
    assert again != ahead
    assert newest() == again


def test_runs_of_what_is_to_come_go_and_say_nothing_meanwhile(
    build: Build, owner: User, now: datetime
) -> None:
    make_past(10, owner, now)
    day = timedelta(days=1)
    reckon(now + day)
    ahead = outlooks([build.pk])[build.pk]
    assert speaks(ahead, now + day)
    assert not speaks(ahead, now)
    again = reckon(now)
    assert list(Reckoning.objects.all()) == [again]


def test_page_that_waits_is_not_kept_waiting_for_what_helps(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.TEARDOWN)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    at_once_ = reckon_at_once(now)
    assert outlooks([build.pk])[build.pk].remedy == ""
    whole = reckon(now)
    assert whole != at_once_
    assert outlooks([build.pk])[build.pk].remedy
    assert reckon_at_once(now) == reckon(now) == whole


def test_old_runs_go_and_take_their_rows_along(build: Build, now: datetime) -> None:
    for n in range(5):
        reckon(now + n * 10 * MINUTE)
    assert Reckoning.objects.count() == 4  # those of the last half hour
    assert set(Outlook.objects.values_list("reckoning", flat=True)) == set(
        Reckoning.objects.values_list("pk", flat=True)
    )


@pytest.mark.django_db(transaction=True)
def test_page_that_began_on_a_run_stays_with_it(build: Build, owner: User, now: datetime) -> None:
    first = reckon(now)
    with keeping():
        assert newest() == first
        # Another process walks the line while the page is made.
        (second,) = at_once(lambda: reckon(now + 10 * MINUTE))
        assert outlooks([build.pk])[build.pk].reckoning_id == first.pk
    assert newest() == second


def test_build_can_be_removed_whatever_was_said_of_it(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    LinePlace.objects.create(build=build, place=1)
    reckon(now)
    build.delete()
    assert not Outlook.objects.exists()


def test_ended_build_is_in_no_run(build: Build, now: datetime) -> None:
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN, tray=None)
    assert list(reckon(now).outlooks.all()) == []


def test_task_brings_it_up_to_date(
    build: Build, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builds.queue.tasks.now", lambda: now)
    reckon_task()
    reckon_task()
    assert Reckoning.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_two_at_once_do_no_harm(build: Build, now: datetime) -> None:
    first, second = at_once(lambda: reckon(now), lambda: reckon(now))
    for run in (first, second):
        assert [row.build_id for row in run.outlooks.all()] == [build.pk]
    assert outlooks([build.pk])[build.pk].reckoning_id == max(first.pk, second.pk)


# Danger


def _seen(build: Build, house: House, now: datetime) -> tuple[Outlook, bool]:
    reckon(now)
    outlook = outlooks([build.pk])[build.pk]
    return outlook, is_in_danger(outlook, dues([build.pk], calendar(house), now)[build.pk])


def test_promise_that_cannot_hold_is_in_danger(owner: User, house: House, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.TEARDOWN)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    outlook, danger = _seen(build, house, now)
    assert outlook.odds is not None
    assert (outlook.odds < 0.8, danger) == (True, True)


def test_of_fewer_than_ten_finished_builds_nobody_says_so(
    owner: User, house: House, now: datetime
) -> None:
    make_past(9, owner, now)
    build = make_build(owner, now, State.TEARDOWN)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    assert not _seen(build, house, now)[1]


def test_promise_that_waits_for_its_customer_is_not(
    owner: User, house: House, now: datetime
) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.TEARDOWN)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    put_on_hold(build, owner, now)
    assert not _seen(build, house, now)[1]


def test_shop_says_what_is_enough(owner: User, house: House, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.TEARDOWN)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    outlook, _danger = _seen(build, house, now)
    assert outlook.odds is not None
    House.objects.update(least_odds_percent=max(round(outlook.odds * 100) - 1, 1))
    assert not _seen(build, house, now)[1]
