"""Readings: judged by the tool, never overwritten, and in their order."""

from datetime import datetime
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import IntegrityError, transaction

from builds.models import Build
from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import Reading, Run, RunLine, SheetLine
from builds.proving.queries.page import last_with
from builds.proving.queries.standing import standing
from builds.proving.refusals import LinesRefused, Refused
from builds.proving.states import Verdict
from builds.proving.values import typed
from shop.history.models import Entry
from shop.models import User
from tests.makers import make_build

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEST, kind="repair")


@pytest.fixture
def run(build: Build, owner: User, now: datetime) -> Run:
    return proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)


def line(run: Run, code: str) -> RunLine:
    return run.lines.get(code=code)


def read(
    run: Run, code: str, text: str, by: User, now: datetime, *, seen: int = 0,
    token: UUID | None = None,
) -> proving.Kept:  # fmt: skip
    row = line(run, code)
    entry = proving.Entry(row.pk, typed(text, row.unit), seen=seen)
    return proving.keep_readings(
        run.build_id, run.pk, [entry], token=token or uuid4(), by=by, now=now
    )


def verdict(run: Run, code: str) -> str:
    found = standing(run).of(code)
    return found.verdict if found else ""


@pytest.mark.parametrize(
    ("code", "text", "said"),
    [
        ("cell", "3.5", Verdict.PASS),  # exactly at the limit
        ("cell", "3,49", Verdict.FAIL),
        ("idle-drain", "2 mA", Verdict.PASS),
        ("idle-drain", "2000 µA", Verdict.PASS),
        ("idle-drain", "2.1", Verdict.TELL),
        ("idle-drain", "6", Verdict.TELL),
        ("idle-drain", "6.01", Verdict.FAIL),
        ("shorts", "OL", Verdict.PASS),
        ("shorts", "800 Ω", Verdict.FAIL),
        ("switches", "20", Verdict.PASS),
        ("switches", "19", Verdict.FAIL),
    ],
)
def test_tool_says_what_a_reading_means(
    code: str, text: str, said: str, run: Run, owner: User, now: datetime
) -> None:
    read(run, code, text, owner, now)
    assert verdict(run, code) == said


@pytest.mark.parametrize("text", ["", "abc", "1.2.3", "-4", "1e5", "3 V", "1 2"])
def test_what_is_no_reading_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(ValueError, match=r"\."):
        typed(text, "mA")


def test_fail_is_read_again_only_after_somebody_said_what_was_done(
    run: Run, owner: User, now: datetime
) -> None:
    failed = read(run, "idle-drain", "7.4", owner, now).readings[0]
    with pytest.raises(LinesRefused, match="what was done"):
        read(run, "idle-drain", "1", owner, now, seen=failed.pk)
    rework = put_right(run, failed, owner, now)
    again = read(run, "idle-drain", "1.1", owner, now, seen=failed.pk).readings[0]
    assert again.rework == rework
    found = standing(run).of("idle-drain")
    assert found
    assert [each.as_typed for each in found.readings] == ["1.1 mA", "7.4 mA"]
    assert found.has_failed


def put_right(run: Run, failed: Reading, by: User, now: datetime, **changed: Any) -> Any:
    facts: dict[str, Any] = {
        "found_in": "test", "caused_in": "install", "cause": "cold joint", "minutes": 20,
        "token": uuid4(), **changed,
    }  # fmt: skip
    return proving.put_right(run.build_id, failed.pk, **facts, by=by, now=now)


def test_second_tablet_does_not_put_the_same_fail_right(
    run: Run, owner: User, bench_hand: User, now: datetime
) -> None:
    failed = read(run, "idle-drain", "7.4", owner, now).readings[0]
    put_right(run, failed, bench_hand, now)
    with pytest.raises(Refused, match="Jory was first: cold joint"):
        put_right(run, failed, owner, now)


def test_double_tap_keeps_one_rework(run: Run, owner: User, now: datetime) -> None:
    failed, token = read(run, "idle-drain", "7.4", owner, now).readings[0], uuid4()
    first = put_right(run, failed, owner, now, token=token)
    assert put_right(run, failed, owner, now, token=token) == first


def test_rework_without_a_cause_is_refused(run: Run, owner: User, now: datetime) -> None:
    failed = read(run, "idle-drain", "7.4", owner, now).readings[0]
    with pytest.raises(Refused, match="what caused it"):
        put_right(run, failed, owner, now, cause=" ")


def test_no_swing_before_the_blade_is_known_to_hold(
    build: Build, run: Run, owner: User, now: datetime
) -> None:
    SheetLine.objects.filter(code="retention").update(wants="any")
    run = proving.begin_run(build.pk, seen=1, token=uuid4(), by=owner, now=now)
    with pytest.raises(LinesRefused, match="Only after “Blade retention”"):
        read(run, "motion", "20", owner, now)
    failed = read(run, "retention", "40", owner, now).readings[0]
    with pytest.raises(LinesRefused, match="Only after"):
        read(run, "motion", "20", owner, now)
    put_right(run, failed, owner, now)
    read(run, "retention", "55", owner, now, seen=failed.pk)
    read(run, "motion", "20", owner, now)
    assert verdict(run, "motion") == Verdict.PASS


def test_double_tap_keeps_one_reading(run: Run, owner: User, now: datetime) -> None:
    token = uuid4()
    for _ in range(2):
        read(run, "cell", "3.9", owner, now, token=token)
    assert Reading.objects.count() == 1
    assert Entry.objects.filter(verb="proof_read").count() == 1


def test_other_tablets_reading_is_one_more_and_says_who_was_first(
    run: Run, owner: User, bench_hand: User, now: datetime
) -> None:
    read(run, "cell", "3.9", bench_hand, now)
    kept = read(run, "cell", "3.8", owner, now)
    assert [each.by.name for each in kept.before] == ["Jory"]
    assert Reading.objects.count() == 2


def test_other_tablet_reads_nothing_over_a_fail(
    run: Run, owner: User, bench_hand: User, now: datetime
) -> None:
    read(run, "cell", "3.1", bench_hand, now)
    with pytest.raises(LinesRefused, match="Jory read it first"):
        read(run, "cell", "3.8", owner, now)


def test_older_run_is_read_no_more(build: Build, run: Run, owner: User, now: datetime) -> None:
    proving.begin_run(build.pk, seen=1, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="Oda began run 2 meanwhile"):
        read(run, "cell", "3.9", owner, now)


def test_build_elsewhere_is_not_tested(build: Build, run: Run, owner: User, now: datetime) -> None:
    Build.objects.filter(pk=build.pk).update(state=State.INSTALL)
    with pytest.raises(Refused, match="not in test"):
        read(run, "cell", "3.9", owner, now)
    with pytest.raises(Refused, match="not in test"):
        proving.begin_run(build.pk, seen=1, token=uuid4(), by=owner, now=now)


def test_readings_are_never_rewritten(run: Run, owner: User, now: datetime) -> None:
    reading = read(run, "cell", "3.1", owner, now).readings[0]
    for deed in (
        lambda: Reading.objects.filter(pk=reading.pk).update(verdict="pass"),
        lambda: Reading.objects.filter(pk=reading.pk).delete(),
    ):
        with pytest.raises(IntegrityError, match="append-only"), transaction.atomic():
            deed()


def test_second_tablet_that_begins_is_told(
    build: Build, run: Run, bench_hand: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="Oda was first and began run 1"):
        proving.begin_run(build.pk, seen=0, token=uuid4(), by=bench_hand, now=now)


def test_nobody_lets_a_short_by(run: Run, owner: User, bench_hand: User, now: datetime) -> None:
    def let(code: str, by: User, reason: str = "sure") -> object:
        pk = line(run, code).pk
        return proving.let_line_by(run.build_id, run.pk, pk, reason=reason, by=by, now=now)

    for code in ("shorts", "insulation", "wrap"):
        with pytest.raises(Refused, match="Nobody can pass"):
            let(code, owner)
    with pytest.raises(Refused, match="Only the owner"):
        let("switches", bench_hand)
    with pytest.raises(Refused, match="why it may pass"):
        let("switches", owner, " ")
    assert let("switches", owner) == let("switches", owner)


def test_last_instrument_is_remembered(run: Run, owner: User, now: datetime) -> None:
    meter = proving.add_instrument("Meter", by=owner, now=now)
    row = line(run, "cell")
    entry = proving.Entry(row.pk, typed("3.9", "V"), instrument=meter.pk)
    proving.keep_readings(run.build_id, run.pk, [entry], token=uuid4(), by=owner, now=now)
    assert last_with(["cell", "shorts"], owner.pk) == {"cell": meter.pk}
