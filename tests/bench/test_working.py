"""Time worked on the bench's pages: one tap starts and stops, a forgotten timer is asked about."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.models import Build, Stretch
from builds.progress import actions as progress
from builds.progress.states import Spent, State
from shop.models import User
from tests.bench.conftest import Clock
from tests.bench.pages import hidden, part, row, tap, words
from tests.makers import make_build

pytestmark = pytest.mark.django_db
HOUR = timedelta(hours=1)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """An install under way."""
    made = make_build(owner, now, State.INSTALL)
    return progress.start(made.pk, expected=State.INSTALL, by=owner, now=now)


def _sheet(client: Client, build: Build) -> str:
    return part(client.get(f"/build/{build.number}/"), "worked")


def _runs(build: Build, by: User, now: datetime) -> Stretch:
    return progress.begin_work(build.pk, token=uuid4(), by=by, now=now)


def test_one_tap_on_the_bench_starts_and_one_stops(
    bench_client: Client, build: Build, clock: Clock
) -> None:
    shown = row(bench_client.get("/bench/"), build)
    token = hidden(shown[shown.index("/timed/") :], "token")
    answer = tap(
        bench_client, f"/build/{build.number}/timed/", token=token, expected="install",
        next="/bench/",
    )  # fmt: skip
    assert "The timer runs on" in words(answer)
    assert "Stop my timer" in row(answer, build)
    clock.at += 1.5 * HOUR
    stretch = Stretch.objects.get()
    answer = tap(bench_client, f"/timed/{stretch.pk}/end/", next="/bench/")
    assert "Stopped: 90 min on install" in words(answer)
    assert "Start my timer" in row(answer, build)


def test_running_timers_head_today_and_the_bench(
    owner_client: Client, build: Build, bench_hand: User, now: datetime
) -> None:
    _runs(build, bench_hand, now)
    for page in ("/", "/bench/"):
        assert f"{bench_hand.name}: {build.hilt} , install, since 10:40" in words(
            owner_client.get(page)
        )


def test_the_sheet_says_what_was_worked_beside_what_is_usual(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    progress.add_work(
        build.pk, minutes=95, stage=State.TEARDOWN, spent_on=Spent.STUCK, token=uuid4(),
        by=owner, now=now,
    )  # fmt: skip
    shown = words(_sheet(owner_client, build))
    assert "teardown – 1:35 2.0 h a guess" in shown
    assert "1:35 teardown, a stuck joint" in shown


def test_time_is_written_down_without_a_timer(bench_client: Client, build: Build) -> None:
    fields = {"minutes": "1:30", "stage": "install", "spent_on": "work", "token": uuid4()}
    answer = tap(bench_client, f"/build/{build.number}/timed/add/", **fields)
    assert "1:30 install" in words(part(answer, "worked"))


@pytest.mark.parametrize(
    ("typed", "why"),
    [("a while", "Write minutes, as 90"), ("25:00", "a day long at most"), ("", "required")],
)
def test_what_is_no_time_is_said_and_stays(
    bench_client: Client, build: Build, typed: str, why: str
) -> None:
    fields = {"minutes": typed, "stage": "install", "spent_on": "rework", "token": uuid4()}
    answer = bench_client.post(f"/build/{build.number}/timed/add/", fields)
    assert answer.status_code == 422
    shown = part(answer, "worked")
    assert why in words(shown)
    assert f'value="{typed}"' in shown or not typed
    assert not Stretch.objects.exists()


def test_forgotten_timer_is_asked_about(
    bench_client: Client, build: Build, bench_hand: User, now: datetime, clock: Clock
) -> None:
    stretch = _runs(build, bench_hand, now)
    clock.at += 24 * HOUR
    assert f"How long was {bench_hand.name} at {build.hilt}?" in words(bench_client.get("/"))
    answer = tap(bench_client, f"/timed/{stretch.pk}/end/")
    shown = part(answer, "worked")
    assert "How long was it?" in words(shown)
    assert 'value="6:50"' in shown  # from 10:40 to half past five
    prefix = f"work-{stretch.pk}-"
    fields = {f"{prefix}minutes": "45", f"{prefix}stage": "install", f"{prefix}spent_on": "work"}
    answer = tap(bench_client, f"/timed/{stretch.pk}/right/", **fields)
    assert f"said by {bench_hand.name}" in words(part(answer, "worked"))
    assert "How long was" not in words(bench_client.get("/"))


def test_a_colleagues_time_has_no_form(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    stretch = _runs(build, owner, now)
    assert "Put it right" not in _sheet(bench_client, build)
    prefix = f"work-{stretch.pk}-"
    fields = {f"{prefix}minutes": "45", f"{prefix}stage": "install", f"{prefix}spent_on": "work"}
    answer = bench_client.post(f"/timed/{stretch.pk}/right/", fields)
    assert answer.status_code == 422
    assert Stretch.objects.get().minutes is None


def test_the_other_tablet_moved_it_meanwhile(
    bench_client: Client, build: Build, owner: User
) -> None:
    fields = {"expected": "teardown", "token": uuid4()}
    answer = tap(bench_client, f"/build/{build.number}/timed/", **fields)
    assert not Stretch.objects.exists()
    assert "install" in words(answer)
