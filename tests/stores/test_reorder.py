"""Buying again: what is advised, what is refused, and what must hold for any numbers."""

import random
from collections.abc import Callable
from math import inf, nan

import pytest

from shop.stores import reorder

WRONG = (-1.0, nan, inf)
REFUSED: list[tuple[str, Callable[[float], object]]] = [
    ("use in a period", lambda x: reorder.point(x, 1, 1)),
    ("spread of the use", lambda x: reorder.point(1, x, 1)),
    ("The lead time", lambda x: reorder.point(1, 1, x)),
    ("spread of the lead time", lambda x: reorder.point(1, 1, 1, x)),
    ("The service", lambda x: reorder.point(1, 1, 1, service=x)),
    ("on hand", lambda x: reorder.advise(x, 0, 0, 5)),
    ("reserved", lambda x: reorder.advise(9, x, 0, 5)),
    ("on order", lambda x: reorder.advise(9, 0, x, 5)),
    ("reorder point", lambda x: reorder.advise(9, 0, 0, x)),
    ("fill up to", lambda x: reorder.advise(9, 0, 0, 5, up_to=x)),
]


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.parametrize(("sentence", "call"), REFUSED)
def test_refusals(sentence: str, call: Callable[[float], object], wrong: float) -> None:
    with pytest.raises(ValueError, match=sentence):
        call(wrong)


@pytest.mark.parametrize(
    ("sentence", "call"),
    [
        ("from 0.5 to below 1", lambda: reorder.point(1, 1, 1, service=0.49)),
        ("from 0.5 to below 1", lambda: reorder.point(1, 1, 1, service=1)),
        ("from 0.5 to below 1", lambda: reorder.point(1, 1, 1, service=95)),
        ("3 are reserved, and only 2", lambda: reorder.advise(2, 3, 0, 5)),
        ("A pack holds", lambda: reorder.advise(2, 0, 0, 5, pack=0)),
        ("below the point", lambda: reorder.advise(2, 0, 0, 5, up_to=4)),
    ],
)
def test_refusals_of_what_does_not_go_together(sentence: str, call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=sentence):
        call()


@pytest.mark.parametrize(
    ("on_hand", "reserved", "on_order", "pack", "up_to", "order"),
    [
        (9, 0, 0, 1, None, 0),  # above the point of 5
        (6, 0, 0, 1, None, 0),
        (5, 0, 0, 1, None, 1),  # at the point: one at least
        (5, 0, 0, 10, None, 10),
        (3, 0, 0, 1, None, 2),
        (9, 6, 0, 1, None, 2),  # reserved is not free
        (3, 0, 4, 1, None, 0),  # on its way counts
        (3, 0, 0, 1, 12, 9),
        (3, 0, 0, 5, 12, 10),  # whole packs
        (6, 0, 0, 5, 12, 0),
    ],
)
def test_advice(
    on_hand: int, reserved: int, on_order: int, pack: int, up_to: float | None, order: int
) -> None:
    advice = reorder.advise(on_hand, reserved, on_order, 5, pack, up_to)
    assert advice.order == order
    assert advice.position == on_hand - reserved + on_order


def test_a_part_bought_only_when_needed_is_never_advised() -> None:
    assert reorder.advise(0, 0, 0, 0).order == 0


def test_a_part_used_evenly_and_delivered_to_the_day_needs_no_safety() -> None:
    assert reorder.point(5, 0, 3).safety == 0
    assert reorder.point(5, 0, 3).point == 15


def test_an_order_lifts_the_position_to_its_target_by_no_more_than_a_pack() -> None:
    dice = random.Random(1)
    for _ in range(1_000):
        on_hand, pack = dice.randint(0, 40), dice.randint(1, 12)
        reserved, on_order = dice.randint(0, on_hand), dice.randint(0, 20)
        point = dice.uniform(0.1, 30)
        up_to = point + dice.uniform(0, 30)
        advice = reorder.advise(on_hand, reserved, on_order, point, pack, up_to)
        assert advice.order % pack == 0
        if advice.position > point:
            assert advice.order == 0
        else:
            assert up_to <= advice.position + advice.order < up_to + pack or advice.order == pack


def test_more_service_or_a_longer_wait_never_lowers_the_point() -> None:
    dice = random.Random(2)
    for _ in range(1_000):
        mean, sd, lead, lead_sd = (dice.uniform(0, 50) for _ in range(4))
        low, high = sorted((dice.uniform(0.5, 0.999), dice.uniform(0.5, 0.999)))
        point = reorder.point(mean, sd, lead, lead_sd, low).point
        assert reorder.point(mean, sd, lead, lead_sd, high).point >= point
        assert reorder.point(mean, sd, lead + 1, lead_sd, low).point >= point
