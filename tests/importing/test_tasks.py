"""The worker's side: one task goes on with what an import waits for, the sweep finds the rest."""

from datetime import datetime, timedelta

import pytest

from builds.importing import tasks
from builds.importing.actions import keeping, undoing
from builds.importing.models import Import
from builds.importing.states import AT_ONCE, Kind, State
from shop.celery import app
from shop.people.models import Customer, User
from tests.importing.sheets import begin, fresh, xlsx

pytestmark = pytest.mark.django_db
ROWS = xlsx([["Name", "E-mail"], ["Wren Aldous", "w@example.com"]])


@pytest.fixture(autouse=True)
def at_the_moment_of_the_tests(now: datetime, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tasks, "now", lambda: now)


def test_one_task_goes_through_all_of_it(owner: User, now: datetime) -> None:
    one = begin(ROWS, "customers", owner, now)
    tasks.go_on(one.pk)
    assert fresh(one).is_clean
    keeping.confirm(one.pk, seen=fresh(one).stamp, again=False, by=owner, now=now)
    tasks.go_on(one.pk)
    tasks.go_on(one.pk)  # a second wake-up finds nothing to do
    assert (fresh(one).state, Customer.objects.count()) == (State.KEPT, 1)
    undoing.take_back(one.pk, by=owner, now=now)
    tasks.go_on(one.pk)
    assert fresh(one).state == State.UNDONE


def test_vanished_import_is_a_quiet_end() -> None:
    tasks.go_on(404)


def test_sweep_wakes_what_was_not_woken_and_lets_go_of_the_forgotten(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    woken: list[tuple[str, int]] = []
    monkeypatch.setattr(tasks, "wake", lambda name, pk: woken.append((name, pk)))
    one = begin(ROWS, "customers", owner, now - timedelta(minutes=2))
    old = begin(ROWS, "customers", owner, now)
    long_ago = now - timedelta(days=40)
    Import.objects.filter(pk=old.pk).update(state=State.CHECKED, state_since=long_ago)
    tasks.sweep()
    assert woken == [("builds.importing.tasks.go_on", one.pk)]
    assert fresh(old).state == State.DROPPED


def test_the_clock_knows_the_sweep() -> None:
    app.loader.import_default_modules()
    app.finalize()
    assert {"builds.importing.tasks.go_on", "builds.importing.tasks.sweep"} <= set(app.tasks)


@pytest.mark.parametrize("kind", [Kind.ORDERS, Kind.PARTS])
def test_more_rows_than_are_written_at_once_are_said(
    owner: User, now: datetime, kind: Kind
) -> None:
    many = AT_ONCE[kind] + 1
    rows = [["speaker", f"part {n}"] for n in range(many)]
    one = begin(xlsx([["Kind", "Name"], *rows]), kind, owner, now)
    tasks.go_on(one.pk)
    assert fresh(one).state == State.MATCHING
    assert f"at most {AT_ONCE[kind]:,}" in fresh(one).problem
