"""Two workers at the same moment: real threads, each with its own connection."""

from collections import Counter
from datetime import datetime
from uuid import uuid4

import pytest

from shop.models import User
from shop.stores.actions import Overtaken, Short, stock
from shop.stores.actions.claims import open_claim
from shop.stores.actions.kits import add_kit
from shop.stores.actions.parts import add_part
from shop.stores.models import Claim, Delivery, Kit, Part, Reservation, StockLevel, StockRow
from tests.makers import SPECS_OF, at_once, make_part
from tests.stores.orders import deliver, make_ordered, make_supplier

pytestmark = pytest.mark.django_db(transaction=True)
ROUNDS = 200


def test_two_workers_reserve_the_last_part_two_hundred_times(
    owner: User, bench_hand: User, now: datetime
) -> None:
    part = make_part(owner, now)

    for _round in range(ROUNDS):
        stock.receive(part, 1, token=uuid4(), by=owner, now=now)
        answers = at_once(
            lambda: _try_to_reserve(part, owner, "0142 Copperfen", now),
            lambda: _try_to_reserve(part, bench_hand, "0143 Bramble", now),
        )
        assert Counter(map(type, answers)) == {Reservation: 1, Short: 1}
        held = next(each for each in answers if isinstance(each, Reservation))
        told = next(each for each in answers if isinstance(each, Short))
        assert str(told).endswith(
            f"1 wanted, none free. {held.by.name} reserved 1 for {held.whose}."
        )
    level = StockLevel.objects.get(part=part)
    assert (level.on_hand, level.reserved) == (ROUNDS, ROUNDS)


def _try_to_reserve(part: Part, by: User, whose: str, now: datetime) -> Reservation | Short:
    try:
        return stock.reserve(part, 1, about="build:1", whose=whose, token=uuid4(), by=by, now=now)
    except Short as short:
        return short


def test_one_reservation_is_fitted_or_released_not_both(
    owner: User, bench_hand: User, now: datetime
) -> None:
    part = make_part(owner, now, 1)
    held = stock.reserve(part, 1, about="build:1", whose="0001", token=uuid4(), by=owner, now=now)
    answers = at_once(
        lambda: stock.fit(held, token=uuid4(), by=owner, now=now),
        lambda: stock.release(held, token=uuid4(), by=bench_hand, now=now),
    )
    assert Counter(map(type, answers)) == {StockRow: 1, Overtaken: 1}
    level = StockLevel.objects.get(part=part)
    assert (level.on_hand, level.reserved) in {(0, 0), (1, 0)}


def test_the_same_receipt_from_many_threads_is_one_row(owner: User, now: datetime) -> None:
    part, token = make_part(owner, now), uuid4()
    at_once(*[lambda: stock.receive(part, 3, token=token, by=owner, now=now)] * 6)
    assert StockLevel.objects.get(part=part).on_hand == 3


def test_the_same_part_from_many_threads_is_one_part(owner: User, now: datetime) -> None:
    token = uuid4()

    def add() -> Part:
        return add_part(
            "speaker", {"name": "speaker"}, spec=SPECS_OF["speaker"], stated={},
            source="data sheet", token=token, by=owner, now=now,
        )  # fmt: skip

    answers = at_once(*[add] * 5)
    assert {answer.pk for answer in answers} == {Part.objects.get().pk}
    assert Part.objects.get().number == 1


def test_a_claim_sent_from_many_threads_is_one_claim(owner: User, now: datetime) -> None:
    part, supplier, token = make_part(owner, now, 5), make_supplier(owner, now), uuid4()

    def claim() -> Claim:
        return open_claim(
            part, 2, supplier=supplier, fault="hums", serial="", about="", whose="",
            token=token, by=owner, now=now,
        )  # fmt: skip

    answers = at_once(*[claim] * 5)
    assert set(answers) == {Claim.objects.get()}
    assert StockLevel.objects.get(part=part).on_hand == 3


def test_a_kit_made_from_many_threads_is_one_kit(owner: User, now: datetime) -> None:
    token = uuid4()
    answers = at_once(*[lambda: add_kit("Sound", "", token=token, by=owner, now=now)] * 5)
    assert set(answers) == {Kit.objects.get()}


def test_two_parcels_with_the_same_parts_both_go_to_stock(owner: User, now: datetime) -> None:
    some = [make_part(owner, now) for _ in range(4)]
    for _round in range(10):
        there = make_ordered(owner, now, *((part, 1) for part in some))
        back = make_ordered(owner, now, *((part, 1) for part in reversed(some)))
        answers = at_once(
            lambda there=there: deliver(there, owner, now, *((part, 1) for part in some)),
            lambda back=back: deliver(back, owner, now, *((part, 1) for part in some)),
        )
        assert {type(answer) for answer in answers} == {Delivery}
    assert {level.on_hand for level in StockLevel.objects.all()} == {20}
