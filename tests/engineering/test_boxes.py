"""Into which box things go: by hand, against a twin that tries everything, and in general."""

import random
from collections.abc import Callable, Iterator, Sequence
from itertools import permutations, product
from math import inf, nan

import pytest

from builds.engineering.boxes import (
    SEARCHED,
    Bar,
    Block,
    Box,
    Lack,
    Thing,
    fits,
    in_order,
    smallest,
    why_not,
)

HILT = Bar(300, 40)
BLADE = Bar(900, 25)
SIDES = (1.0, 2.0, 3.0)


def _thing(chance: random.Random) -> Thing:
    if chance.random() < 0.5:
        return Bar(chance.choice((1, 2, 3, 4)), chance.choice(SIDES))
    return Block(*(chance.choice((1, 2, 3, 4)) for _ in range(3)))


def _box(chance: random.Random) -> Box:
    return Box(*(chance.randint(2, 9) for _ in range(3)))


def _cases(seed: int, most: int, count: int) -> Iterator[tuple[list[Thing], Box, float]]:
    chance = random.Random(seed)
    for _ in range(count):
        things = [_thing(chance) for _ in range(chance.randint(1, most))]
        yield things, _box(chance), chance.choice((0.0, 0.0, 0.5))


# The twin: words over "lane", "shelf" boundaries in every order of the things.
def _twin(things: Sequence[Thing], box: Box, pad: float) -> bool:
    long, wide, high = sorted((box.length_mm, box.width_mm, box.height_mm), reverse=True)
    room = (long - pad, wide - pad, high - pad)
    ways = [_ways(thing, pad) for thing in things]
    return any(
        _cut_up(order, cuts, across)
        for chosen in product(*ways)
        for order in permutations(chosen)
        for cuts in product("ebs", repeat=len(order) - 1)
        for across in (room, (room[0], room[2], room[1]))
    )


def _ways(thing: Thing, pad: float) -> list[tuple[float, float, float]]:
    if isinstance(thing, Bar):
        return [(thing.length_mm + pad, thing.diameter_mm + pad, thing.diameter_mm + pad)]
    a, b, c = sorted((thing.length_mm, thing.width_mm, thing.height_mm), reverse=True)
    return [(a + pad, b + pad, c + pad), (a + pad, c + pad, b + pad)]


def _cut_up(
    order: Sequence[tuple[float, float, float]],
    cuts: Sequence[str],
    room: tuple[float, float, float],
) -> bool:
    shelves = [[[order[0]]]]
    for thing, cut in zip(order[1:], cuts, strict=True):
        if cut == "e":
            shelves[-1][-1].append(thing)
        elif cut == "b":
            shelves[-1].append([thing])
        else:
            shelves.append([[thing]])
    lanes = [lane for shelf in shelves for lane in shelf]
    return (
        all(sum(each[0] for each in lane) <= room[0] for lane in lanes)
        and all(
            sum(max(each[1] for each in lane) for lane in shelf) <= room[1] for shelf in shelves
        )
        and sum(max(each[2] for lane in shelf for each in lane) for shelf in shelves) <= room[2]
    )


def test_few_things_go_in_where_any_way_to_lay_them_does() -> None:
    answers = []
    for things, box, pad in _cases(seed=11, most=4, count=400):
        assert fits(things, box, pad) == _twin(things, box, pad), (things, box, pad)
        answers.append(fits(things, box, pad))
    assert 60 < sum(answers) < 340  # both answers are there


def test_what_is_laid_in_rows_is_never_more_than_can_be() -> None:
    for things, box, pad in _cases(seed=12, most=SEARCHED, count=200):
        many = [*things] * 2
        if len(many) > SEARCHED and fits(many, box, pad):
            assert fits(things, box, pad)


@pytest.mark.parametrize("most", [SEARCHED, SEARCHED + 8])
def test_a_larger_box_never_takes_less(most: int) -> None:
    chance = random.Random(13)
    for things, box, pad in _cases(seed=13, most=most, count=500):
        larger = Box(
            box.length_mm + chance.randint(0, 3),
            box.width_mm + chance.randint(0, 3),
            box.height_mm + chance.randint(0, 3),
        )
        assert fits(things, larger, pad) or not fits(things, box, pad)


@pytest.mark.parametrize("most", [SEARCHED, SEARCHED + 8])
def test_one_thing_less_never_fits_worse(most: int) -> None:
    for things, box, pad in _cases(seed=14, most=most, count=500):
        if fits(things, box, pad):
            assert all(
                fits(things[:place] + things[place + 1 :], box, pad)
                for place in range(len(things))
                if len(things) > 1
            )


def test_less_padding_never_fits_worse() -> None:
    for things, box, pad in _cases(seed=15, most=9, count=400):
        assert fits(things, box, pad / 2) or not fits(things, box, pad)


def test_turning_a_box_or_goods_changes_nothing() -> None:
    for things, box, pad in _cases(seed=16, most=4, count=60):
        answer = fits(things, box, pad)
        for sides in permutations((box.length_mm, box.width_mm, box.height_mm)):
            assert fits(things, Box(*sides), pad) == answer
        turned = [
            Block(each.height_mm, each.length_mm, each.width_mm)
            if isinstance(each, Block)
            else each
            for each in reversed(things)
        ]
        assert fits(turned, box, pad) == answer


@pytest.mark.parametrize(
    ("things", "box", "pad", "answer"),
    [
        ([HILT], Box(300, 40, 40), 0, True),  # exactly
        ([HILT], Box(360, 100, 100), 30, True),  # exactly, with padding at both ends
        ([HILT], Box(359.9, 100, 100), 30, False),
        ([HILT], Box(100, 360, 100), 30, True),  # the longest side is whichever is longest
        ([HILT, BLADE], Box(960, 155, 100), 30, True),  # 30 + 40 + 30 + 25 + 30
        ([HILT, BLADE], Box(960, 154, 100), 30, False),
        ([HILT, HILT, HILT], Box(1020, 100, 100), 30, True),  # end to end: 3 · 300 + 4 · 30
        ([HILT, HILT, HILT], Box(1019, 100, 100), 30, False),
        ([HILT, HILT], Box(360, 170, 100), 30, True),  # beside one another
        ([HILT, HILT, HILT, HILT], Box(360, 170, 170), 30, True),  # and above
        ([Block(100, 60, 20)], Box(110, 30, 70), 5, True),  # turned about its length
        ([Block(0.1, 0.1, 0.1)] * 3, Box(0.3, 0.1, 0.1), 0, True),  # what floats add is no size
        ([Bar(66, 18)] * 8, Box(80, 130, 40), 0, True),  # rows of cells: four, and four above
        ([Bar(66, 18)] * 9, Box(80, 130, 40), 0, False),
    ],
)
def test_by_hand(things: list[Thing], box: Box, pad: float, answer: bool) -> None:
    assert fits(things, box, pad) is answer


def test_the_smallest_that_takes_them_is_chosen() -> None:
    boxes = [Box(1200, 200, 200, "large"), Box(400, 120, 120, "hilt"), Box(980, 160, 110, "long")]
    assert smallest([HILT], boxes, 30) == Box(400, 120, 120)
    found = smallest([HILT, BLADE], boxes, 30)
    assert found is not None
    assert found.key == "long"
    assert smallest([Bar(1300, 25)], boxes, 30) is None
    assert smallest([HILT], [], 30) is None


def test_of_two_as_large_the_shorter_one_comes_first_and_then_the_one_named_first() -> None:
    long, short, same = Box(400, 100, 100, "a"), Box(200, 200, 100, "b"), Box(200, 100, 200, "c")
    assert [box.key for box in in_order([long, short, same])] == ["b", "c", "a"]


def test_a_box_says_why_it_is_too_small() -> None:
    short = why_not([HILT, BLADE], Box(400, 120, 120), 30)
    assert short is not None
    assert (short.code, short.thing, short.needs_mm, short.has_mm) == (
        Lack.TOO_SHORT, 1, 960, 400,
    )  # fmt: skip
    narrow = why_not([HILT], Box(400, 120, 90), 30)
    assert narrow is not None
    assert (narrow.code, narrow.needs_mm, narrow.has_mm) == (Lack.TOO_NARROW, 100, 90)
    small = why_not([HILT, HILT], Box(400, 110, 110), 30)
    assert small is not None
    assert (small.code, small.thing) == (Lack.TOO_SMALL, None)
    assert why_not([HILT], Box(400, 110, 110), 30) is None


REFUSED: list[tuple[Callable[[], object], str]] = [
    (lambda: fits([], Box(1, 1, 1), 0), "Say what shall go into the box"),
    (lambda: fits([HILT], Box(1, 1, 1), -1), "The clearance in mm must be 0 or more"),
    (lambda: smallest([], [Box(1, 1, 1)], 0), "Say what shall go into the box"),
    (lambda: in_order([Box(1, 0, 1)]), "A side of a box in mm must be more than 0"),
    *(
        (lambda x=x: fits([Bar(x, 1)], Box(1, 1, 1), 0), "The length of a thing in mm must be")
        for x in (0, -1, nan, inf)
    ),
    *(
        (lambda x=x: fits([Bar(1, x)], Box(1, 1, 1), 0), "The diameter of a thing in mm must be")
        for x in (0, -1, nan, inf)
    ),
    *(
        (lambda x=x: fits([Block(1, x, 1)], Box(1, 1, 1), 0), "A side of a thing in mm must be")
        for x in (0, -1, nan, inf)
    ),
    *(
        (lambda x=x: fits([HILT], Box(1, 1, x), 0), "A side of a box in mm must be")
        for x in (0, -1, nan, inf)
    ),
]


@pytest.mark.parametrize(("call", "sentence"), REFUSED)
def test_what_cannot_be_is_refused_in_a_sentence(call: Callable[[], object], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        call()
