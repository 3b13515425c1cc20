"""Warranties: promised as a build leaves, and kept as they were promised."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction

from builds.gates import actions as gates
from builds.handover.actions.returns import Verdict, decide, make_build
from builds.handover.actions.warranty import promise_warranty
from builds.handover.models import Warranty
from builds.handover.queries.booklet import contents
from builds.handover.queries.owner_page import owner_page
from builds.handover.queries.return_page import return_page
from builds.models import Build
from builds.progress.states import Kind, Leaves, State
from shop.models import House, User
from tests.handover.making import announced, covered, left
from tests.makers import make_build as make
from tests.makers import make_tray

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


def gone(owner: User, now: datetime, kind: str = Kind.FULL) -> Build:
    """A build that left, its warranty promised."""
    build = left(make(owner, now, State.DISPATCH, kind=kind, tray=make_tray()), now)
    promise_warranty(build, by=owner, now=now)
    return build


def ends(build: Build) -> date | None:
    """The last day of its warranty."""
    found = Warranty.objects.filter(build=build).first()
    return found.last_day if found else None


@pytest.mark.parametrize(
    ("kind", "days"), [(Kind.FULL, 180), (Kind.UPGRADE, 180), (Kind.REPAIR, 90)]
)
def test_days_run_from_the_day_it_left(kind: str, days: int, owner: User, now: datetime) -> None:
    assert ends(gone(owner, now, kind)) == TODAY + timedelta(days=days)


def test_collected_build_is_promised_its_warranty_once(owner: User, now: datetime) -> None:
    build = make(owner, now, State.DISPATCH, tray=make_tray(), leaves_by=Leaves.COLLECTION)
    let_by_all(build, owner, now)
    token = uuid4()
    for _tap in range(2):
        gates.end(build.pk, State.COLLECTED, token=token, expected=State.DISPATCH, reason="",
                  by=owner, now=now)  # fmt: skip
    assert Warranty.objects.get().last_day == TODAY + timedelta(days=180)


def let_by_all(build: Build, owner: User, now: datetime) -> None:
    """The owner's word for all that its gate asks."""
    for asked in gates._missing(build.pk, gates.LEAVE):
        gates.let_by(build.pk, asked.code, reason="for the test", by=owner, now=now)


def test_leaving_taken_back_takes_the_warranty_back(owner: User, now: datetime) -> None:
    build = make(owner, now, State.DISPATCH, tray=make_tray(), leaves_by=Leaves.COLLECTION)
    let_by_all(build, owner, now)
    moved = gates.end(build.pk, State.COLLECTED, token=uuid4(), expected=State.DISPATCH, reason="",
                      by=owner, now=now)  # fmt: skip
    gates.undo(moved.pk, token=uuid4(), by=owner, now=now + timedelta(seconds=9))
    assert ends(build) is None


def test_settings_changed_later_leave_what_was_promised(
    owner: User, now: datetime, house: House
) -> None:
    build = gone(owner, now)
    house.warranty_days = 10
    house.save()
    promise_warranty(build, by=owner, now=now)
    assert ends(build) == TODAY + timedelta(days=180)


def test_what_was_promised_is_never_rewritten(owner: User, now: datetime) -> None:
    build = gone(owner, now)
    with pytest.raises(DatabaseError, match="fixed"), transaction.atomic():
        Warranty.objects.filter(build=build).update(last_day=TODAY)


def test_shop_that_promises_none_promises_none(owner: User, now: datetime, house: House) -> None:
    house.warranty_days = 0
    house.save()
    assert ends(gone(owner, now)) is None


def test_repair_under_warranty_leaves_the_first_one_as_it_runs(owner: User, now: datetime) -> None:
    assert ends(put_right(owner, now, 30)) == TODAY + timedelta(days=180)


def test_shop_may_promise_more_after_a_warranty_repair(
    owner: User, now: datetime, house: House
) -> None:
    house.renewed_days = 170
    house.save()
    assert ends(put_right(owner, now, 30)) == TODAY + timedelta(days=200)


def test_kindness_after_the_warranty_promises_none(owner: User, now: datetime) -> None:
    assert ends(put_right(owner, now, 300)) is None


def put_right(owner: User, now: datetime, after: int) -> Build:
    """A build that came back, was put right under warranty, and left so many days later."""
    first = gone(owner, now)
    found = covered(announced(first, now), owner, now)
    later = now + timedelta(days=after)
    build = left(make_build(found.pk, by=owner, now=now), later)
    promise_warranty(build, by=owner, now=later)
    return build


def test_install_goes_on_beside_a_paid_repair(owner: User, now: datetime, house: House) -> None:
    first = gone(owner, now)
    repaired = paid_repair(first, owner, now)
    later = now + timedelta(days=120)
    found = announced(repaired, later)
    shown = return_page(found, house, later)
    assert ends(repaired) == TODAY + timedelta(days=90)
    assert (shown.is_in_warranty, shown.warranty) == (True, first.warranty)
    covered(found, owner, later)
    build = left(make_build(found.pk, by=owner, now=later), later)
    promise_warranty(build, by=owner, now=later)
    assert ends(build) == TODAY + timedelta(days=180)


def test_what_is_promised_later_was_not_held_when_it_was_announced(
    owner: User, now: datetime, house: House
) -> None:
    first = gone(owner, now)
    late = now + timedelta(days=200)
    found = announced(first, late)
    decide(found.pk, Verdict("not-covered", "dropped", "customer"), seen="", by=owner, now=late)
    promise_warranty(left(make_build(found.pk, by=owner, now=late), late), by=owner, now=late)
    found.refresh_from_db()
    assert not return_page(found, house, late).is_in_warranty


def paid_repair(first: Build, owner: User, now: datetime) -> Build:
    """A repair of a hilt that left, paid for, gone the same day."""
    found = announced(first, now)
    decide(found.pk, Verdict("not-covered", "dropped", "customer"), seen="", by=owner, now=now)
    build = left(make_build(found.pk, by=owner, now=now), now)
    promise_warranty(build, by=owner, now=now)
    return build


def test_owner_reads_the_warranty_that_runs_longest(
    owner: User, now: datetime, house: House
) -> None:
    first = gone(owner, now)
    paid_repair(first, owner, now)
    assert first.hilt
    held = owner_page(first.hilt, house, now).longest_held
    assert held
    assert held.last_day == TODAY + timedelta(days=180)


@pytest.mark.parametrize("after", [30, 300])
def test_booklet_says_a_warranty_runs_on_where_one_does(
    after: int, owner: User, now: datetime, house: House
) -> None:
    house.warranty_words = "What fails by itself is put right."
    house.save()
    first = gone(owner, now)
    later = now + timedelta(days=after)
    found = announced(first, later)
    decide(found.pk, Verdict("goodwill", "it was close", "shop"), seen="", by=owner, now=later)
    build = make_build(found.pk, by=owner, now=later)
    before = contents(build, house, later)
    promise_warranty(left(build, later), by=owner, now=later)
    for said in (before, contents(Build.objects.get(pk=build.pk), house, later)):
        assert said.warranty_runs_on == (after == 30)
        assert bool(said.warranty) == (after == 30)
        assert said.warranty_days == 0


def test_booklet_tells_the_days_that_are_promised_anew(
    owner: User, now: datetime, house: House
) -> None:
    house.renewed_days = 90
    house.save()
    first = gone(owner, now)
    later = now + timedelta(days=300)
    made = make_build(announced(first, later).pk, by=owner, now=later)
    said = contents(made, house, later)
    assert (said.warranty_runs_on, said.warranty_days) == (False, 90)
