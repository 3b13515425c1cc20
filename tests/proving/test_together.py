"""Two tablets at one sheet at the same moment: real threads, each with its own connection."""

from collections import Counter
from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import Reading, Run, Timer
from builds.proving.refusals import LinesRefused, Refused
from builds.proving.values import typed
from shop.models import Message, User
from tests.makers import at_once, make_build

pytestmark = pytest.mark.django_db(transaction=True)


def test_two_tablets_begin_one_run(owner: User, bench_hand: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST, kind="repair")

    def begin(by: User) -> Run:
        return proving.begin_run(build.pk, seen=0, token=uuid4(), by=by, now=now)

    answers = at_once(lambda: begin(owner), lambda: begin(bench_hand))
    assert Counter(map(type, answers)) == {Run: 1, Refused: 1}
    run = Run.objects.get()
    told = next(answer for answer in answers if isinstance(answer, Refused))
    assert run.begun_by.name in str(told)
    assert run.lines.count() == run.lines.values("code").distinct().count()


def test_fail_and_a_pass_at_once_leave_the_fail_or_two_rows(
    owner: User, bench_hand: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, kind="repair")
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    line = run.lines.get(code="cell")

    def read(text: str, by: User) -> proving.Kept:
        entry = proving.Entry(line.pk, typed(text, "V"))
        return proving.keep_readings(build.pk, run.pk, [entry], token=uuid4(), by=by, now=now)

    answers = at_once(lambda: read("3.1", owner), lambda: read("3.9", bench_hand))
    kept = Reading.objects.count()
    # Whoever fails first shuts the line for the other; a pass that was first stands beside it.
    refused = sum(isinstance(answer, LinesRefused) for answer in answers)
    assert kept + refused == 2
    assert Reading.objects.filter(verdict="fail").count() == 1


def test_many_clocks_tell_the_shop_once(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    Timer.objects.create(
        token=uuid4(), build=build, what="burn-in", minutes=1, begun_at=now, begun_by=owner
    )
    later = now + timedelta(minutes=2)
    at_once(*[lambda: proving.tell_ended(later)] * 4)
    assert Message.objects.count() == 1
    assert run.number == 1
