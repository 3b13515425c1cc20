"""Two tablets at the same moment: real threads, each with its own connection."""

from collections import Counter
from datetime import datetime
from uuid import uuid4

import pytest

from builds.models import Build, Move
from builds.progress import actions as progress
from builds.progress.actions import Overtaken, TrayTaken
from builds.progress.states import Kind, Leaves, State
from shop.history.models import Entry
from shop.models import Order, User
from shop.orders.actions import place_order
from tests.makers import at_once, make_build, make_customer, make_item, make_tray

pytestmark = pytest.mark.django_db(transaction=True)


def test_two_tablets_move_a_build_once(owner: User, bench_hand: User, now: datetime) -> None:
    build = make_build(owner, now)

    def tap(by: User) -> Move:
        return progress.move(
            build.pk, token=uuid4(), expected=State.BOOKED, to=State.INTAKE, by=by, now=now
        )

    answers = at_once(lambda: tap(owner), lambda: tap(bench_hand))
    assert Counter(map(type, answers)) == {Move: 1, Overtaken: 1}
    move = next(answer for answer in answers if isinstance(answer, Move))
    told = next(answer for answer in answers if isinstance(answer, Overtaken))
    assert move.by.name in str(told)
    assert Move.objects.count() == 1


def test_same_token_from_many_threads_is_one_move(owner: User, now: datetime) -> None:
    build, token = make_build(owner, now), uuid4()

    def tap() -> Move:
        return progress.move(
            build.pk, token=token, expected=State.BOOKED, to=State.INTAKE, by=owner, now=now
        )

    answers = at_once(*[tap] * 6)
    assert {answer.pk for answer in answers} == {Move.objects.get().pk}
    assert Entry.objects.filter(verb="moved").count() == 1


def test_one_tray_given_to_two_builds_goes_to_one(owner: User, now: datetime) -> None:
    one, other, tray = make_build(owner, now), make_build(owner, now), make_tray()

    def give(build: Build) -> Build:
        return progress.put(build.pk, tray=tray, place=None, by=owner, now=now)

    answers = at_once(lambda: give(one), lambda: give(other))
    assert Counter(map(type, answers)) == {Build: 1, TrayTaken: 1}
    holder = Build.objects.get(tray=tray)
    refusal = next(answer for answer in answers if isinstance(answer, TrayTaken))
    assert str(refusal) == f"Tray {tray} holds {holder.hilt} {holder}. Choose another."


def test_one_move_is_taken_back_once(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    moved = progress.move(
        build.pk, token=uuid4(), expected=State.BOOKED, to=State.INTAKE, by=owner, now=now
    )

    def take_back() -> Move:
        return progress.undo(moved.pk, token=uuid4(), by=owner, now=now)

    answers = at_once(*[take_back] * 4)
    assert Counter(map(type, answers)) == {Move: 1, progress.Refused: 3}


def test_order_numbers_have_no_gaps_under_eight_threads(owner: User, now: datetime) -> None:
    customers = [make_customer(now, f"Wren{n}") for n in range(8)]

    def place(n: int) -> list[str]:
        return [
            place_order(customers[n], token=uuid4(), by=owner, now=now).number for _ in range(5)
        ]

    answers = at_once(*[lambda n=n: place(n) for n in range(8)])
    given = [number for numbers in answers for number in numbers]
    assert sorted(given) == [f"2026-{n:03d}" for n in range(1, 41)]


def test_same_order_from_many_threads_is_one_order(owner: User, now: datetime) -> None:
    customer, token = make_customer(now), uuid4()
    answers = at_once(*[lambda: place_order(customer, token=token, by=owner, now=now)] * 6)
    assert {answer.pk for answer in answers} == {Order.objects.get().pk}
    assert place_order(customer, token=uuid4(), by=owner, now=now).number == "2026-002"


def test_same_item_booked_from_many_threads_is_one_build(owner: User, now: datetime) -> None:
    item = make_item(owner, now)

    def book() -> Build:
        facts = {"hilt": None, "kind": Kind.BLADE, "leaves_by": Leaves.POST}
        return progress.book(item, by=owner, now=now, **facts)

    answers = at_once(*[book] * 6)
    assert {answer.pk for answer in answers} == {Build.objects.get().pk}
    assert Build.objects.get().number == 1
