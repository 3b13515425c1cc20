"""Parcels: one build in one parcel, closed once, opened again, leaving whole."""

from datetime import datetime
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.db import IntegrityError, transaction

from builds.dispatch import actions as dispatch
from builds.dispatch.actions import Refused
from builds.dispatch.queries import left_on, parcel_of, to_leave
from builds.models import Build, Packed, Parcel
from builds.progress.states import Leaves, State
from shop.history.models import Entry
from shop.models import User
from tests.makers import FRIDAY, at_once, make_build, make_customer, make_parcel

pytestmark = pytest.mark.django_db


def refused(*rows: Any) -> bool:
    """Whether the database refuses rows that no action has looked at."""
    try:
        with transaction.atomic():
            type(rows[0]).objects.bulk_create(rows)
    except IntegrityError:
        return True
    return False


def close(builds: list[Build], by: User, now: datetime, **more: Any) -> Parcel:
    """Close a parcel around builds."""
    facts: dict[str, Any] = {"day": FRIDAY, "token": uuid4(), "by": by, "now": now, **more}
    return dispatch.close_parcel(builds, **facts)


def test_database_refuses_a_build_in_two_parcels(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    make_parcel([build], owner, now)
    other = make_parcel([], owner, now)
    assert refused(Packed(parcel=other, build=build))


def test_database_lets_a_build_that_was_taken_out_into_another(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    make_parcel([build], owner, now).packed.update(taken_out_at=now)
    assert not refused(Packed(parcel=make_parcel([], owner, now), build=build))


def test_database_refuses_an_opened_parcel_that_leaves(owner: User, now: datetime) -> None:
    facts = {"day": FRIDAY, "closed_at": now, "closed_by": owner}
    assert refused(Parcel(token=uuid4(), left_at=now, opened_at=now, **facts))


def test_database_refuses_a_parcel_token_twice(owner: User, now: datetime) -> None:
    facts = {"token": uuid4(), "day": FRIDAY, "closed_at": now, "closed_by": owner}
    assert refused(Parcel(**facts), Parcel(**facts))


def test_same_token_is_one_parcel(owner: User, now: datetime) -> None:
    build, token = make_build(owner, now, State.DISPATCH), uuid4()
    first = close([build], owner, now, token=token)
    assert close([build], owner, now, token=token) == first
    assert Entry.objects.filter(verb="packed").count() == 1


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"state": State.TEST}, "not in dispatch"),
        ({"leaves_by": Leaves.COLLECTION}, "collected in person"),
    ],
)
def test_build_that_may_not_go_by_parcel_is_refused(
    change: dict[str, str], why: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    Build.objects.filter(pk=build.pk).update(**change)
    build.refresh_from_db()
    with pytest.raises(Refused, match=why):
        close([build], owner, now)
    assert not Parcel.objects.exists()


def test_build_in_a_parcel_is_refused_by_number(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    close([build], owner, now)
    with pytest.raises(Refused, match=f"{build} lies in a parcel already"):
        close([build], owner, now)


def test_empty_parcel_is_refused(owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="what goes into"):
        close([], owner, now)


def test_hilts_of_two_customers_never_share_a_parcel(owner: User, now: datetime) -> None:
    one = make_build(owner, now, State.DISPATCH)
    other = make_build(owner, now, State.DISPATCH, customer=make_customer(now, "Ash"))
    with pytest.raises(Refused, match="different people"):
        close([one, other], owner, now)


def test_opened_parcel_frees_its_builds_once(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    parcel = close([build], owner, now)
    for _twice in range(2):
        dispatch.open_parcel(parcel.pk, owner, now)
    assert parcel_of([build.pk]) == {}
    assert Entry.objects.filter(verb="unpacked").count() == 1
    close([build], owner, now)


def test_parcel_that_left_is_not_opened(owner: User, now: datetime) -> None:
    parcel = close([make_build(owner, now, State.DISPATCH)], owner, now)
    dispatch.mark_left(parcel.pk, owner, now)
    with pytest.raises(Refused, match="has left"):
        dispatch.open_parcel(parcel.pk, owner, now)


def test_opened_parcel_does_not_leave(owner: User, now: datetime) -> None:
    parcel = close([make_build(owner, now, State.DISPATCH)], owner, now)
    dispatch.open_parcel(parcel.pk, owner, now)
    with pytest.raises(Refused, match="opened again"):
        dispatch.mark_left(parcel.pk, owner, now)


def test_parcels_wait_until_they_have_left(owner: User, now: datetime) -> None:
    parcel = close([make_build(owner, now, State.DISPATCH)], owner, now)
    assert list(to_leave(FRIDAY)) == [parcel]
    dispatch.mark_left(parcel.pk, owner, now)
    assert list(to_leave(FRIDAY)) == []
    assert list(left_on(now.date(), ZoneInfo("Europe/London"))) == [parcel]
    assert list(left_on(FRIDAY, ZoneInfo("Europe/London"))) == [parcel]


def test_tracking_is_told_on_each_build(owner: User, now: datetime) -> None:
    customer = make_customer(now)
    pair = [make_build(owner, now, State.DISPATCH, customer=customer) for _ in range(2)]
    parcel = close(pair, owner, now)
    dispatch.note_tracking(parcel, carrier="van", tracking="A1", by=owner, now=now)
    assert Entry.objects.filter(verb="tracking_noted").count() == 2


@pytest.mark.django_db(transaction=True)
def test_two_tablets_pack_a_build_once(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    answers = at_once(*[lambda: close([build], owner, now)] * 4)
    assert sorted(type(answer).__name__ for answer in answers) == ["Parcel"] + ["Refused"] * 3
    assert Packed.objects.count() == Parcel.objects.count() == 1
