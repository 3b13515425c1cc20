"""A line that was let by counts no more: nothing of it runs, and the gate names what is open."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from builds.gates.conditions import conditions
from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import Timer
from builds.proving.states import Read
from builds.proving.values import typed
from shop.models import User
from tests.bench.pages import words
from tests.makers import good_reading, make_build

pytestmark = pytest.mark.django_db


def test_burn_in_that_was_let_by_runs_no_more(
    owner: User, owner_client: Client, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, kind="full")
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    lines = list(run.lines.exclude(read=Read.TIMED).exclude(code="leaves"))
    entries = [good_reading(line) for line in lines if line.code != "insulation"]
    entries.insert(0, proving.Entry(run.lines.get(code="insulation").pk, typed("OL", "MΩ")))
    proving.keep_readings(build.pk, run.pk, entries, token=uuid4(), by=owner, now=now)
    burn_in, rest = run.lines.get(code="burn-in"), run.lines.get(code="rest")
    facts = {"by": owner, "now": now}
    proving.let_line_by(build.pk, run.pk, rest.pk, reason="its cell is the owner’s", **facts)
    proving.begin_timer(build.pk, run.pk, burn_in.pk, millivolts=None, token=uuid4(), **facts)
    proving.let_line_by(build.pk, run.pk, burn_in.pk, reason="it ran for a week", **facts)
    asked = next(one for one in conditions([build.pk])[build.pk] if one.code == "proved")
    assert asked.text == "Bench test, 1 still to pass: Leaves as"
    page = words(owner_client.get(f"/build/{build.number}/test/"))
    assert "Burn-in runs" not in page
    assert not Timer.objects.filter(stopped_at=None).exists()
