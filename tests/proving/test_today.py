"""What ran its time wants somebody on Today."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.values import typed
from shop.models import User
from tests.bench.pages import words
from tests.makers import make_build

pytestmark = pytest.mark.django_db


def test_burn_in_that_is_over_stands_on_today(
    bench_client: Client, owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    build = make_build(owner, now, State.TEST)
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    facts = {"token": uuid4(), "by": owner, "now": now}
    entry = proving.Entry(run.lines.get(code="insulation").pk, typed("OL", "MΩ"))
    proving.keep_readings(build.pk, run.pk, [entry], **facts)
    burn_in = run.lines.get(code="burn-in").pk
    proving.begin_timer(build.pk, run.pk, burn_in, millivolts=None, **facts)
    said = f"Burn-in is over: {build.hilt}"
    for hours, stands in ((1, False), (2, True)):
        moment = now + timedelta(hours=hours)
        monkeypatch.setattr("builds.bench.views.today.now", lambda moment=moment: moment)
        assert (said in words(bench_client.get("/"))) is stands
