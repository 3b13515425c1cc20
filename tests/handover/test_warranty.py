"""Warranties: promised as a build leaves, and kept as they were promised."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction

from builds.gates import actions as gates
from builds.handover.actions.returns import make_build
from builds.handover.actions.warranty import promise_warranty
from builds.handover.models import Warranty
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
