"""Holds, and booking."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from builds.models import Build
from builds.progress import actions as progress
from builds.progress.actions import Refused
from builds.progress.queries import open_holds
from builds.progress.states import Kind, Leaves, State
from shop.history.models import Entry
from shop.house.models import Counter
from shop.models import Item, User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from tests.makers import make_build, make_customer, make_item, put_on_hold

pytestmark = pytest.mark.django_db


def test_same_hold_twice_is_one_hold(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    assert put_on_hold(build, owner, now) == put_on_hold(build, owner, now)
    assert len(open_holds([build.pk])[build.pk]) == 1


def test_hold_ended_twice_is_ended_once(owner: User, bench_hand: User, now: datetime) -> None:
    held = put_on_hold(make_build(owner, now), owner, now)
    progress.end_hold(held.pk, by=owner, now=now)
    again = progress.end_hold(held.pk, by=bench_hand, now=now + timedelta(hours=1))
    assert (again.ended_by, again.ended_at) == (owner, now)
    assert Entry.objects.filter(verb="hold_ended").count() == 1


def test_hold_that_ended_can_be_put_on_again(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    first = put_on_hold(build, owner, now)
    progress.end_hold(first.pk, by=owner, now=now)
    assert put_on_hold(build, owner, now) != first


def test_ended_build_is_not_held(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN)
    with pytest.raises(Refused, match="nothing to hold"):
        put_on_hold(build, owner, now)


def _book(item: Item, by: User, now: datetime, **more: Any) -> Build:
    facts: dict[str, Any] = {"hilt": None, "kind": Kind.BLADE, "leaves_by": Leaves.POST, **more}
    return progress.book(item, by=by, now=now, **facts)


def test_item_booked_twice_is_one_build_and_one_number(owner: User, now: datetime) -> None:
    item = make_item(owner, now)
    assert _book(item, owner, now) == _book(item, owner, now)
    assert Counter.objects.get(series="builds").last == 1


def test_goods_are_not_booked(owner: User, now: datetime) -> None:
    order = make_item(owner, now).order
    goods = add_item(order, ItemKind.GOODS, "spare cell", owner, now)
    with pytest.raises(Refused, match="jobs alone"):
        _book(goods, owner, now)


def test_job_without_a_hilt_is_refused(owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="which hilt"):
        _book(make_item(owner, now), owner, now, kind=Kind.FULL)


def test_hilt_of_someone_else_is_refused(owner: User, now: datetime) -> None:
    hilt = make_build(owner, now, customer=make_customer(now, "Ash")).hilt
    with pytest.raises(Refused, match="another customer"):
        _book(make_item(owner, now), owner, now, kind=Kind.FULL, hilt=hilt)


def test_refused_booking_takes_no_number(owner: User, now: datetime) -> None:
    with pytest.raises(Refused):
        _book(make_item(owner, now), owner, now, kind=Kind.REPAIR)
    assert make_build(owner, now).number == 1
