"""The gate out of test reads the newest run of the bench test."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.gates import actions as gates
from builds.gates.actions import GateClosed, Refused
from builds.gates.conditions import conditions
from builds.gates.known import Condition
from builds.models import Build
from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import RunLine
from builds.proving.states import Read
from builds.proving.values import typed
from shop.models import User
from tests.makers import good_reading, make_build, prove

pytestmark = pytest.mark.django_db
A_MINUTE = timedelta(minutes=1)


def asked(build: Build) -> Condition:
    return next(one for one in conditions([build.pk])[build.pk] if one.code == "proved")


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEST, kind="repair")


def test_no_run_shuts_the_gate_and_nobody_passes_it(
    build: Build, owner: User, now: datetime
) -> None:
    assert asked(build).text == "Bench test not begun"
    with pytest.raises(Refused, match="Nobody can pass"):
        gates.let_by(build.pk, "proved", reason="it looks well", by=owner, now=now)


def test_passed_run_opens_it(build: Build, owner: User, now: datetime) -> None:
    prove(build, owner, now)
    assert asked(build).text == "Bench test passed, run 1"
    gates.advance(build.pk, token=uuid4(), expected=State.TEST, by=owner, now=now)
    build.refresh_from_db()
    assert build.state == State.DISPATCH


def test_what_is_still_to_pass_is_named(build: Build, owner: User, now: datetime) -> None:
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    assert f"{run.lines.count()} still to pass" in asked(build).text


def test_failed_line_is_named(build: Build, owner: User, now: datetime) -> None:
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    line = run.lines.get(code="idle-drain")
    entry = proving.Entry(line.pk, typed("7", "mA"))
    proving.keep_readings(build.pk, run.pk, [entry], token=uuid4(), by=owner, now=now)
    assert asked(build).text == "Bench test failed: Idle drain, asleep"


def test_newer_run_counts_though_the_older_passed(build: Build, owner: User, now: datetime) -> None:
    prove(build, owner, now)
    proving.begin_run(build.pk, seen=1, token=uuid4(), by=owner, now=now + A_MINUTE)
    assert not asked(build).is_open


def test_rework_asks_a_new_run(build: Build, owner: User, now: datetime) -> None:
    prove(build, owner, now)
    facts = {"token": uuid4(), "expected": State.TEST, "by": owner, "now": now + A_MINUTE}
    gates.send_back(build.pk, State.TEARDOWN, reason="hum", caused_in="install", **facts)
    Build.objects.filter(pk=build.pk).update(state=State.INSTALL)
    later = now + 2 * A_MINUTE
    facts = {"token": uuid4(), "expected": State.INSTALL, "by": owner, "now": later}
    gates.advance(build.pk, **facts)
    build.refresh_from_db()
    assert "Worked on since" in asked(build).text
    with pytest.raises(GateClosed):
        gates.advance(build.pk, token=uuid4(), expected=State.TEST, by=owner, now=later)
    prove(build, owner, later)
    assert asked(build).text == "Bench test passed, run 2"


def test_owner_lets_a_line_by_and_the_gate_opens(build: Build, owner: User, now: datetime) -> None:
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    facts = {"by": owner, "now": now}
    lines: list[RunLine] = [line for line in run.lines.all() if line.code != "switches"]
    entries = [good_reading(line) for line in lines if line.read != Read.TIMED]
    proving.keep_readings(build.pk, run.pk, entries, token=uuid4(), **facts)
    assert not asked(build).is_open
    switches = run.lines.get(code="switches")
    proving.let_line_by(build.pk, run.pk, switches.pk, reason="it has none", **facts)
    assert asked(build).is_open
