"""Burn-in and rest run whether or not anybody looks, and tell when they are over."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.models import Build
from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import Reading, Run, RunLine, SheetLine, Timer
from builds.proving.queries.standing import standing
from builds.proving.refusals import LinesRefused, Refused
from builds.proving.states import Verdict
from builds.proving.values import typed
from shop.models import House, Message, User
from shop.web.speech import speaking
from tests.makers import make_build

pytestmark = pytest.mark.django_db
TWO_HOURS = timedelta(hours=2)
TWELVE_HOURS = timedelta(hours=12)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEST, kind="full")


@pytest.fixture
def run(build: Build, owner: User, now: datetime) -> Run:
    made = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    entry = proving.Entry(made.lines.get(code="insulation").pk, typed("OL", "MΩ"))
    proving.keep_readings(build.pk, made.pk, [entry], token=uuid4(), by=owner, now=now)
    return made


def line(run: Run, code: str) -> RunLine:
    return run.lines.get(code=code)


def start(run: Run, code: str, by: User, now: datetime, volts: int | None = None) -> Timer:
    pk = line(run, code).pk
    return proving.begin_timer(
        run.build_id, run.pk, pk, millivolts=volts, token=uuid4(), by=by, now=now
    )


def end(
    run: Run, code: str, by: User, now: datetime, *, is_right: bool = True, volts: int | None = None
) -> str:
    facts = {"is_right": is_right, "millivolts": volts, "token": uuid4(), "by": by, "now": now}
    proving.end_timer(run.build_id, run.pk, line(run, code).pk, **facts)
    found = standing(run).of(code)
    return found.verdict if found else ""


def test_burn_in_passes_when_it_has_run_its_time(run: Run, owner: User, now: datetime) -> None:
    start(run, "burn-in", owner, now)
    with pytest.raises(Refused, match="not over yet"):
        end(run, "burn-in", owner, now + TWO_HOURS - timedelta(seconds=1))
    assert end(run, "burn-in", owner, now + TWO_HOURS) == Verdict.PASS


def test_reboot_fails_it_at_once(run: Run, owner: User, now: datetime) -> None:
    start(run, "burn-in", owner, now)
    later = now + timedelta(minutes=10)
    assert end(run, "burn-in", owner, later, is_right=False) == Verdict.FAIL
    with pytest.raises(Refused, match="what was done"):
        start(run, "burn-in", owner, later)


@pytest.mark.parametrize(
    ("after", "said"), [(4100, Verdict.PASS), (4080, Verdict.PASS), (4079, Verdict.FAIL)]
)
def test_rest_judges_what_the_cell_lost(
    after: int, said: str, run: Run, owner: User, now: datetime
) -> None:
    start(run, "rest", owner, now, volts=4100)
    assert end(run, "rest", owner, now + TWELVE_HOURS, volts=after) == said


def test_rest_wants_the_voltage_before_and_after(run: Run, owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="Measure the cell first"):
        start(run, "rest", owner, now)
    start(run, "rest", owner, now, volts=4100)
    with pytest.raises(Refused, match="Measure the cell:"):
        end(run, "rest", owner, now + TWELVE_HOURS)


def test_timed_line_is_no_figure_to_type(run: Run, owner: User, now: datetime) -> None:
    entry = proving.Entry(line(run, "burn-in").pk, typed("1", "V"))
    with pytest.raises(LinesRefused, match="runs by itself"):
        proving.keep_readings(run.build_id, run.pk, [entry], token=uuid4(), by=owner, now=now)


def test_no_burn_in_before_insulation_has_passed(build: Build, owner: User, now: datetime) -> None:
    bare = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="Only after"):
        start(bare, "burn-in", owner, now)


def test_other_tablet_starts_no_second_one(
    run: Run, owner: User, bench_hand: User, now: datetime
) -> None:
    start(run, "burn-in", bench_hand, now)
    with pytest.raises(Refused, match="Jory started it already"):
        start(run, "burn-in", owner, now)
    assert Timer.objects.count() == 1


def test_stopped_one_says_nothing_and_may_be_started_anew(
    run: Run, owner: User, now: datetime
) -> None:
    timer = start(run, "burn-in", owner, now)
    for _twice in range(2):
        proving.stop_timer(run.build_id, timer.pk, by=owner, now=now + timedelta(minutes=5))
    with pytest.raises(Refused, match="does not run"):
        end(run, "burn-in", owner, now + TWO_HOURS)
    start(run, "burn-in", owner, now + TWO_HOURS)
    assert end(run, "burn-in", owner, now + 2 * TWO_HOURS) == Verdict.PASS


def test_shop_is_told_once_that_it_is_over(run: Run, owner: User, now: datetime) -> None:
    start(run, "burn-in", owner, now)
    assert proving.tell_ended(now + TWO_HOURS - timedelta(seconds=1)) == 0
    assert proving.tell_ended(now + TWO_HOURS) == 1
    assert proving.tell_ended(now + 2 * TWO_HOURS) == 0
    message = Message.objects.get()
    assert message.to == House.objects.get().email
    assert message.subject.startswith("Burn-in is over")
    assert message.customer is None


def test_read_before_the_clock_came_by_nobody_is_told(run: Run, owner: User, now: datetime) -> None:
    start(run, "burn-in", owner, now)
    end(run, "burn-in", owner, now + TWO_HOURS)
    assert proving.tell_ended(now + TWO_HOURS) == 0


def test_new_run_begins_without_the_timers_of_the_old(
    build: Build, run: Run, owner: User, now: datetime
) -> None:
    start(run, "rest", owner, now, volts=4100)
    SheetLine.objects.filter(code="rest").update(only_after="")
    again = proving.begin_run(build.pk, seen=1, token=uuid4(), by=owner, now=now + TWO_HOURS)
    with pytest.raises(Refused, match="does not run"):
        end(again, "rest", owner, now + TWELVE_HOURS, volts=4100)


def test_what_was_read_stands_in_the_language_of_the_shop(
    run: Run, owner: User, now: datetime
) -> None:
    start(run, "burn-in", owner, now)
    with speaking("de"):
        end(run, "burn-in", owner, now + TWO_HOURS)
    assert Reading.objects.filter(as_typed="right").count() == 1
