"""The page of a bench test: read by hand, by Enter, by one tap, by two tablets."""

import re
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.models import Build
from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import Reading, Rework, Run, RunLine, SheetLine, Timer
from shop.models import User
from tests.bench.pages import tap, words
from tests.makers import make_build, prove

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEST, kind="repair")


@pytest.fixture
def run(build: Build, owner: User, now: datetime) -> Run:
    return proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)


def send(client: Client, run: Run, code: str, follow: bool = True, **fields: Any) -> Any:
    line = run.lines.get(code=code)
    data = {"run": run.pk, "seen": 0, "token": uuid4(), **fields}
    return client.post(f"/build/{run.build.number}/test/line/{line.pk}/", data, follow=follow)


def line(answer: Any, row: RunLine) -> str:
    found = re.search(rf'<li id="line-{row.pk}".*?\n</div></li>', answer.content.decode(), re.S)
    assert found
    return found[0]


def test_bench_hand_begins_the_sheet(bench_client: Client, build: Build) -> None:
    url = f"/build/{build.number}/test/"
    assert "Begin the sheet" in words(bench_client.get(url))
    answer = tap(bench_client, f"{url}begin/", token=str(uuid4()), seen=0)
    assert "Run 1 is begun." in words(answer)
    assert "+ to the metal of the hilt" in words(answer)


def test_reading_is_kept_and_the_next_field_is_ready(bench_client: Client, run: Run) -> None:
    answer = send(bench_client, run, "shorts", value="OL")
    assert "+ to −, no cell passed: OL." in words(answer)
    assert "autofocus" in line(answer, run.lines.get(code="insulation"))


def test_comma_and_point_are_alike(bench_client: Client, run: Run) -> None:
    send(bench_client, run, "cell", value="3,7")
    assert Reading.objects.get().value == 3.7


def test_what_is_seen_is_one_tap(bench_client: Client, run: Run) -> None:
    assert "passed: right" in words(send(bench_client, run, "wrap", tap="right"))
    assert "20 of 20" in words(send(bench_client, run, "switches", tap="all"))


def test_slip_of_the_finger_is_said_beside_the_field_and_stays(
    bench_client: Client, run: Run
) -> None:
    answer = send(bench_client, run, "cell", value="3.7 mm")
    assert answer.status_code == 422
    row = line(answer, run.lines.get(code="cell"))
    assert "This line is read in V." in row
    assert 'value="3.7 mm"' in row
    assert not Reading.objects.exists()


def test_fail_asks_what_was_done_and_then_a_re_test(bench_client: Client, run: Run) -> None:
    answer = send(bench_client, run, "idle-drain", value="7.4")
    assert "Idle drain, asleep failed: 7.4 mA." in words(answer)
    row = line(answer, run.lines.get(code="idle-drain"))
    assert "What was done about it?" in row
    assert "proof-value" not in row
    failed = Reading.objects.get()
    facts = {"cause": "cold joint", "caused_in": "install", "found_in": "test", "minutes": 20}
    url = f"/build/{run.build.number}/test/reading/{failed.pk}/"
    bad = bench_client.post(url, {**facts, "cause": "", "token": uuid4()})
    assert bad.status_code == 422
    answer = bench_client.post(url, {**facts, "token": uuid4()}, follow=True)
    assert "Now test it again." in words(answer)
    answer = send(bench_client, run, "idle-drain", value="1.2", seen=failed.pk)
    told = words(line(answer, run.lines.get(code="idle-drain")))
    assert "2 readings" in told
    assert "re-test after: cold joint, caused in install, 20 min" in told
    assert Rework.objects.get().readings.count() == 1


def test_other_tablet_is_told_who_read_it_first(
    owner_client: Client, bench_client: Client, run: Run
) -> None:
    send(bench_client, run, "cell", value="3.9")
    answer = send(owner_client, run, "cell", value="3.8")
    assert "Jory read it first: 3.9 V. Both are kept." in words(answer)


def test_htmx_gets_the_sheet_alone(bench_client: Client, run: Run) -> None:
    row = run.lines.get(code="cell")
    fields = {"run": run.pk, "seen": 0, "token": str(uuid4()), "value": "3.9"}
    url = f"/build/{run.build.number}/test/line/{row.pk}/"
    answer = tap(bench_client, url, "proof", **fields)
    assert answer.content.lstrip().startswith(b'<div class="stack proof-sheet"')


def test_line_that_waits_has_no_field(bench_client: Client, owner: User, now: datetime) -> None:
    proving.fill_sheet(by=owner, now=now)
    SheetLine.objects.filter(code="retention").update(wants="any")
    build = make_build(owner, now, State.TEST, kind="repair")
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    page = bench_client.get(f"/build/{build.number}/test/")
    row = line(page, run.lines.get(code="motion"))
    assert "after “Blade retention”" in words(row)
    assert "<input" not in row
    assert "Only after" in words(send(bench_client, run, "motion", tap="all"))


def test_burn_in_is_started_and_stopped_here(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST)
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    send(bench_client, run, "insulation", value="OL")
    rest = run.lines.get(code="rest")
    url = f"/build/{build.number}/test/line/{rest.pk}/run/"
    assert bench_client.post(url, {"run": run.pk, "token": uuid4()}).status_code == 422
    data = {"run": run.pk, "token": uuid4(), "volts": "4,12"}
    answer = bench_client.post(url, data, follow=True)
    assert "Rest runs." in words(answer)
    timer = Timer.objects.get()
    assert timer.millivolts_before == 4120
    answer = tap(bench_client, f"/build/{build.number}/test/timer/{timer.pk}/stop/")
    assert "start it anew" in words(answer)


def test_head_of_the_page_says_by_itself_that_burn_in_is_over(
    bench_client: Client, owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    build = make_build(owner, now, State.TEST)
    run = proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    send(bench_client, run, "insulation", value="OL")
    burn_in = run.lines.get(code="burn-in").pk
    facts = {"millivolts": None, "token": uuid4(), "by": owner, "now": now}
    proving.begin_timer(build.pk, run.pk, burn_in, **facts)
    url, htmx = f"/build/{build.number}/test/", {"HX-Request": "true", "HX-Target": "stands"}
    for hours, said in ((1, "Burn-in runs until"), (2, "Burn-in is over: read it.")):
        moment = now + timedelta(hours=hours)
        monkeypatch.setattr("builds.proving.views.show.now", lambda moment=moment: moment)
        head = bench_client.get(url, headers=htmx)
        assert said in words(head)
        assert "proof-lines" not in head.content.decode()


def test_owner_alone_lets_a_line_by(owner_client: Client, bench_client: Client, run: Run) -> None:
    url = f"/build/{run.build.number}/test/let/"
    fields = {"run": run.pk, "line": run.lines.get(code="switches").pk, "reason": "it has none"}
    assert bench_client.post(url, fields).status_code == 403
    assert "Let a test by" not in words(bench_client.get(f"/build/{run.build.number}/test/"))
    assert "let by : it has none Oda" in words(owner_client.post(url, fields, follow=True))


def test_earlier_run_is_looked_at_and_not_written_in(
    bench_client: Client, build: Build, run: Run, owner: User, now: datetime
) -> None:
    proving.begin_run(build.pk, seen=1, token=uuid4(), by=owner, now=now)
    page = bench_client.get(f"/build/{build.number}/test/?run=1")
    assert "an earlier run" in words(page)
    assert b"proof-form" not in page.content


def test_passed_sheet_leads_on_and_prints(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    prove(build, owner, now)
    page = words(bench_client.get(f"/build/{build.number}/test/"))
    assert "Run 1: passed" in page
    paper = bench_client.get(f"/build/{build.number}/test/paper/")
    assert paper.headers["Content-Type"] == "application/pdf"
    assert paper.content.startswith(b"%PDF")


def test_build_elsewhere_is_not_begun(bench_client: Client, owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    assert "begun in test" in words(bench_client.get(f"/build/{build.number}/test/"))
    answer = tap(bench_client, f"/build/{build.number}/test/begin/", token=str(uuid4()), seen=0)
    assert "not in test" in words(answer)


def test_stranger_is_led_to_the_sign_in(stranger: Client, build: Build) -> None:
    assert stranger.get(f"/build/{build.number}/test/").url.startswith("/sign-in/")


def test_blade_has_a_page_too(bench_client: Client, owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST, kind="blade")
    proving.begin_run(build.pk, seen=0, token=uuid4(), by=owner, now=now)
    page = words(bench_client.get(f"/build/{build.number}/test/"))
    assert "Blade: bench test" in page
    assert "Red, green, blue, white" in page
