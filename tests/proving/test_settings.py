"""The owner's own sheet, and the first-pass rate."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.gates import actions as gates
from builds.models import Build
from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import Instrument, SheetLine
from builds.proving.queries.rate import first_pass
from builds.proving.typical import LINES
from builds.proving.values import typed
from shop.models import User
from tests.bench.pages import tap, words
from tests.makers import make_build, prove

pytestmark = pytest.mark.django_db
HERE = "/settings/bench-test/"
A_DAY = timedelta(days=1)


def test_empty_sheet_is_begun_by_one_tap(owner_client: Client, owner: User) -> None:
    assert "No sheet yet" in words(owner_client.get(HERE))
    for _twice in range(2):
        page = words(tap(owner_client, f"{HERE}fill/"))
    assert f"{len(LINES)} tests" in page
    assert "at most 2 mA; told up to 6 mA" in page
    assert "follows from other figures" in page


def test_owner_changes_a_limit(owner_client: Client, owner: User, now: datetime) -> None:
    proving.fill_sheet(by=owner, now=now)
    line = SheetLine.objects.get(code="retention")
    url = f"{HERE}{line.pk}/"
    fields = {"name": "Blade holds", "unit": "N", "low": "80", "wants": "blade"}
    bad = owner_client.post(url, fields | {"high": "10"})
    assert bad.status_code == 422
    assert "At most is below at least." in words(bad)
    assert "Saved." in words(owner_client.post(url, fields, follow=True))
    line.refresh_from_db()
    assert (line.name, line.low, line.get_mark_display()) == ("Blade holds", 80, "the shop’s own")


def test_owner_adds_a_test_of_his_own(owner_client: Client, owner: User) -> None:
    fields = {"name": "Smell", "read": "eye", "wants": "any", "how": "nose to the vents"}
    page = owner_client.post(f"{HERE}add/", fields, follow=True)
    assert "Smell every build · the shop’s own" in words(page)
    count = owner_client.post(f"{HERE}add/", fields | {"read": "count"})
    assert "Say of how many." in words(count)


def test_test_that_nobody_may_pass_keeps_its_limit(
    owner_client: Client, owner: User, now: datetime
) -> None:
    proving.fill_sheet(by=owner, now=now)
    line = SheetLine.objects.get(code="insulation")
    page = owner_client.get(f"{HERE}{line.pk}/").content.decode()
    assert "Nobody may pass this test." in page
    assert 'name="low"' not in page
    assert "stays on the sheet" in words(tap(owner_client, f"{HERE}{line.pk}/retire/"))


def test_test_is_left_out_and_asked_again(owner_client: Client, owner: User, now: datetime) -> None:
    proving.fill_sheet(by=owner, now=now)
    url = f"{HERE}{SheetLine.objects.get(code='joints').pk}/retire/"
    assert "Asked no more" in words(tap(owner_client, url))
    assert "Asked no more" not in words(tap(owner_client, url, back="1"))


def test_instruments_are_named_and_left_out(
    owner_client: Client, owner: User, now: datetime
) -> None:
    proving.fill_sheet(by=owner, now=now)
    assert "Clamp 2" in words(tap(owner_client, f"{HERE}instrument/", name="Clamp 2"))
    pk = Instrument.objects.get().pk
    assert "Clamp 2" not in words(tap(owner_client, f"{HERE}instrument/{pk}/"))


def test_bench_hand_has_no_hand_in_it(bench_client: Client, owner: User) -> None:
    for url in (HERE, f"{HERE}rate/"):
        assert bench_client.get(url).status_code == 403


def send_on(build: Build, by: User, now: datetime) -> None:
    gates.advance(build.pk, token=uuid4(), expected=State.TEST, by=by, now=now)


@pytest.fixture
def tested(owner: User, now: datetime) -> tuple[Build, Build]:
    """Two builds through test: one at once, one after a fail that took 25 minutes."""
    good, bad = (make_build(owner, now, State.TEST, kind="repair") for _ in range(2))
    prove(good, owner, now)
    run = proving.begin_run(bad.pk, seen=0, token=uuid4(), by=owner, now=now)
    entry = proving.Entry(run.lines.get(code="cell").pk, typed("3.1", "V"))
    failed = proving.keep_readings(
        bad.pk, run.pk, [entry], token=uuid4(), by=owner, now=now
    ).readings[0]
    proving.put_right(
        bad.pk, failed.pk, found_in="test", caused_in="intake", cause="Old cell", minutes=25,
        token=uuid4(), by=owner, now=now,
    )  # fmt: skip
    prove(bad, owner, now)
    for build in (good, bad):
        send_on(build, owner, now)
    return good, bad


def test_rate_is_builds_without_a_fail_by_builds_tested(
    tested: tuple[Build, Build], now: datetime
) -> None:
    found = first_pass(now - A_DAY, now + A_DAY)
    assert (found.tested, found.at_once, found.percent) == (2, 1, 50)
    assert [(each.words, each.count, each.minutes) for each in found.causes] == [
        ("Old cell", 1, 25)
    ]
    assert [(each.stage, each.minutes) for each in found.stages] == [("intake", 25)]


def test_rate_of_another_time_is_its_own(tested: tuple[Build, Build], now: datetime) -> None:
    assert first_pass(now + A_DAY, now + 2 * A_DAY).percent is None


def test_move_that_was_taken_back_does_not_count(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST, kind="repair")
    prove(build, owner, now)
    move = gates.advance(build.pk, token=uuid4(), expected=State.TEST, by=owner, now=now)
    gates.undo(move.pk, token=uuid4(), by=owner, now=now)
    assert first_pass(now - A_DAY, now + A_DAY).tested == 0


def test_owner_reads_the_rate_and_its_causes(
    owner_client: Client, owner: User, tested: tuple[Build, Build]
) -> None:
    page = words(owner_client.get(f"{HERE}rate/?days=365"))
    assert "Old cell intake 1 25" in page
