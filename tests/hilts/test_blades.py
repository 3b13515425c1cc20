"""A blade is a thing of its own: written down, counted, tried in a hilt, gone one day."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest

from builds.hilts.actions import blades as actions
from builds.hilts.models import Blade, Hilt
from builds.hilts.queries.blades import blades_named, blades_of, blades_tried_in, facts_of
from builds.hilts.refusals import Overtaken, Refused
from builds.progress.blades import tie_blade
from builds.progress.refusals import Refused as NotTied
from builds.progress.states import Kind, State
from shop.models import Customer, User
from tests.makers import at_once, make_build, make_customer, make_part

LONG: dict[str, Any] = {"name": "Long blue", "connector": "three pins"}


@pytest.fixture
def customer(owner: User, now: datetime) -> Customer:
    return make_customer(now)


@pytest.fixture
def blade(customer: Customer, owner: User, now: datetime) -> Blade:
    return actions.add_blade(customer, LONG, token=uuid4(), by=owner, now=now)


def seen(blade: Blade) -> str:
    blade.refresh_from_db()
    return actions.seen_blade(blade)


@pytest.mark.django_db(transaction=True)
def test_double_tap_writes_one_blade(customer: Customer, owner: User, now: datetime) -> None:
    token = uuid4()

    def add() -> Blade:
        return actions.add_blade(customer, LONG, token=token, by=owner, now=now)

    first, second = at_once(add, add)
    assert first == second
    assert len(blades_of(customer.pk)) == 1


def test_part_of_the_stores_fills_what_nobody_typed(
    customer: Customer, owner: User, now: datetime
) -> None:
    part = make_part(owner, now, kind="blade")
    values = {**LONG, "part_id": part.pk, "length_mm": 800.0}
    made = actions.add_blade(customer, values, token=uuid4(), by=owner, now=now)
    assert (made.diameter_mm, made.length_mm, made.pixels) == (25.4, 800.0, 132)
    assert made.counted_at is None
    assert (
        facts_of(made, "mm").replace("\u202f", " ")
        == "25.4 mm × 800 mm · 132 pixels, not counted · three pins"
    )


def test_another_part_takes_the_pixels_that_nobody_counted_with_it(
    customer: Customer, owner: User, now: datetime
) -> None:
    values = {**LONG, "part_id": make_part(owner, now, kind="blade").pk}
    made = actions.add_blade(customer, values, token=uuid4(), by=owner, now=now)
    bare = {**values, "part_id": None}
    actions.change_blade(made.pk, bare, seen=seen(made), by=owner, now=now)
    made.refresh_from_db()
    assert made.pixels is None
    actions.count_pixels(made.pk, 260, seen=seen(made), by=owner, now=now)
    made.refresh_from_db()
    actions.change_blade(made.pk, values, seen=seen(made), by=owner, now=now)
    made.refresh_from_db()
    assert made.pixels == 260


def test_what_is_no_blade_is_refused(customer: Customer, owner: User, now: datetime) -> None:
    speaker = make_part(owner, now)
    with pytest.raises(Refused, match="is no blade"):
        actions.add_blade(
            customer, {**LONG, "part_id": speaker.pk}, token=uuid4(), by=owner, now=now
        )


def test_pixels_are_counted_by_somebody(blade: Blade, owner: User, now: datetime) -> None:
    was = seen(blade)
    for _tap in range(2):
        actions.count_pixels(blade.pk, 264, seen=was, by=owner, now=now)
    blade.refresh_from_db()
    assert (blade.pixels, blade.counted_by, blade.counted_at) == (264, owner, now)


def test_other_tablet_is_told_who_was_first(
    blade: Blade, owner: User, bench_hand: User, now: datetime
) -> None:
    was = seen(blade)
    actions.count_pixels(blade.pk, 264, seen=was, by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory"):
        actions.count_pixels(blade.pk, 132, seen=was, by=owner, now=now)
    with pytest.raises(Overtaken, match="Jory"):
        actions.change_blade(blade.pk, {"name": "Short"}, seen=was, by=owner, now=now)


def test_blade_is_tried_in_a_hilt_of_its_owner(
    blade: Blade, customer: Customer, owner: User, now: datetime
) -> None:
    own = Hilt.objects.create(customer=customer, name="Copperfen", since=now)
    other = Hilt.objects.create(customer=make_customer(now, "Maud"), name="Marram", since=now)
    with pytest.raises(Refused, match="another customer"):
        actions.try_blade(blade.pk, other, seen=seen(blade), by=owner, now=now)
    actions.try_blade(blade.pk, own, seen=seen(blade), by=owner, now=now)
    assert blades_tried_in(own) == [blade]


def test_gone_blade_says_why_and_may_come_back(blade: Blade, owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="what became of it"):
        actions.end_blade(blade.pk, " ", seen=seen(blade), by=owner, now=now)
    actions.end_blade(blade.pk, "sold on", seen=seen(blade), by=owner, now=now)
    blade.refresh_from_db()
    assert blade.ended_because == "sold on"
    for _tap in range(2):
        actions.bring_blade_back(blade.pk, by=owner, now=now)
    blade.refresh_from_db()
    assert blade.ended_at is None


def test_blade_is_found_by_how_its_name_begins(blade: Blade) -> None:
    assert list(blades_named("LONG b")) == [blade]
    assert not blades_named("blue")


def test_blade_goes_home_with_a_hilt_of_its_owner(
    blade: Blade, customer: Customer, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.INSTALL, customer=customer)
    for _tap in range(2):
        build = tie_blade(build.pk, blade, seen=None, by=owner, now=now)
    assert build.blade == blade
    assert tie_blade(build.pk, None, seen=blade.pk, by=owner, now=now).blade is None


def test_blade_of_another_or_one_that_is_gone_is_not_tied(
    blade: Blade, customer: Customer, owner: User, now: datetime
) -> None:
    others = make_build(owner, now, State.INSTALL)
    with pytest.raises(NotTied, match="another customer"):
        tie_blade(others.pk, blade, seen=None, by=owner, now=now)
    actions.end_blade(blade.pk, "broken", seen=seen(blade), by=owner, now=now)
    blade.refresh_from_db()
    build = make_build(owner, now, kind=Kind.BLADE, customer=customer)
    with pytest.raises(NotTied, match="is gone: broken"):
        tie_blade(build.pk, blade, seen=None, by=owner, now=now)


def test_two_tablets_choosing_a_blade_are_told(
    blade: Blade, customer: Customer, owner: User, bench_hand: User, now: datetime
) -> None:
    build = make_build(owner, now, State.INSTALL, customer=customer)
    short = actions.add_blade(customer, {"name": "Short"}, token=uuid4(), by=owner, now=now)
    tie_blade(build.pk, short, seen=None, by=bench_hand, now=now)
    with pytest.raises(NotTied, match="Jory was first"):
        tie_blade(build.pk, blade, seen=None, by=owner, now=now)
