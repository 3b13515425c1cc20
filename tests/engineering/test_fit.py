"""Fit: what it refuses, what it finds, and what must hold for any numbers."""

import random
from collections.abc import Callable
from decimal import Decimal
from math import inf, nan

import pytest

from builds.engineering import fit
from builds.engineering.findings import Level

CASES = 1_000
WRONG = (-1.0, nan, inf)


def _every(call: Callable[[float], object]) -> list[Callable[[], object]]:
    return [lambda wrong=wrong: call(wrong) for wrong in WRONG]


def _and_zero(call: Callable[[float], object]) -> list[Callable[[], object]]:
    return [*_every(call), lambda: call(0.0)]


REFUSED = [
    ("diameter of the cell", _every(lambda x: fit.least_bore_mm(x, 20, 3))),
    ("width of the board", _every(lambda x: fit.least_bore_mm(18.5, x, 3))),
    ("height of the board", _every(lambda x: fit.least_bore_mm(18.5, 20, x))),
    ("gap between", _every(lambda x: fit.least_bore_mm(18.5, 20, 3, x))),
    ("diameter of the cell", _every(lambda x: fit.place(x, 20, 3))),
    ("width of the board", _every(lambda x: fit.place(18.5, x, 3))),
    ("height of the board", _every(lambda x: fit.place(18.5, 20, x))),
    ("gap between", _every(lambda x: fit.place(18.5, 20, 3, x))),
    ("The bore in mm", _and_zero(lambda x: fit.clearance_mm(x, 18.5, 20, 3))),
    ("diameter of the cell", _every(lambda x: fit.clearance_mm(28, x, 20, 3))),
    ("The bore in mm", _and_zero(lambda x: fit.across(x, 18.5, 20, 3))),
    ("width of the board", _every(lambda x: fit.across(28, 18.5, x, 3))),
    ("The diameter in mm", _and_zero(lambda x: fit.bundle_mm(x, 2))),
    ("One to four", [lambda: fit.bundle_mm(18.5, 0), lambda: fit.bundle_mm(18.5, 5)]),
    ("One to four", [lambda: fit.bundle_mm(18.5, -1), lambda: fit.bundle_mm(18.5, nan)]),
    ("The bore in mm", _and_zero(lambda x: fit.round_part(x, 20))),
    ("diameter of the part", _and_zero(lambda x: fit.round_part(28, x))),
    ("The clearance", _every(lambda x: fit.round_part(28, 20, x))),
    ("bore of the blade socket", _and_zero(lambda x: fit.blade(x, 25.4, 25.4))),
    ("diameter of the blade", _and_zero(lambda x: fit.blade(25.6, x, 25.4))),
    ("depth of the blade", _every(lambda x: fit.blade(25.6, 25.4, x))),
    ("least depth", _and_zero(lambda x: fit.blade(25.6, 25.4, 25.4, x))),
    ("at least one length", [lambda: fit.stack_up([])]),
    ("nominal of length 2", _every(lambda x: fit.stack_up([(1, 0, 0, 1), (x, 0, 0, 1)]))),
    ("plus tolerance of length 1", _every(lambda x: fit.stack_up([(1, x, 0, 1)]))),
    ("minus tolerance of length 1", _every(lambda x: fit.stack_up([(1, 0, x, 1)]))),
    ("sign of length 1", [lambda: fit.stack_up([(1, 0, 0, 0)])]),
    ("sign of length 1", [lambda: fit.stack_up([(1, 0, 0, 2)])]),
    ("nominal of length 1", _every(lambda x: fit.lengthwise(x, []))),
    ("nominal of length 2", _every(lambda x: fit.lengthwise(100, [fit.Length(x)]))),
    ("plus tolerance of length 1", _every(lambda x: fit.lengthwise(100, [], x))),
    ("minus tolerance of length 2", _every(lambda x: fit.lengthwise(9, [fit.Length(5, 0, x)]))),
    ("section's length", _and_zero(lambda x: fit.room_left_mm([x]))),
    ("depth of the blade", _every(lambda x: fit.room_left_mm([100], x))),
    ("blade goes 30 mm deep", [lambda: fit.room_left_mm([12, 12], 30)]),
    ("slack", [lambda: fit.slack_findings(fit.Stack(nan, 0, 0, 0, 0))]),
    ("clearance", [lambda: fit.shown_clearance_mm(nan), lambda: fit.shown_clearance_mm(inf)]),
    ("0 to 6 places", [lambda: fit.shown_clearance_mm(1, -1), lambda: fit.shown_bore_mm(1, 7)]),
    ("The bore in mm", _every(fit.shown_bore_mm)),
]


@pytest.mark.parametrize(
    ("sentence", "call"), [(sentence, call) for sentence, calls in REFUSED for call in calls]
)
def test_refusals(sentence: str, call: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=sentence):
        call()


def _sizes(dice: random.Random) -> tuple[float, float, float, float]:
    return dice.uniform(0, 30), dice.uniform(0, 70), dice.uniform(0, 9), dice.uniform(0, 3)


def test_a_larger_bore_never_fits_less() -> None:
    dice = random.Random(1)
    for _ in range(CASES):
        sizes, bore = _sizes(dice), dice.uniform(1, 60)
        wider = bore + dice.uniform(0, 5)
        assert fit.clearance_mm(wider, *sizes) >= fit.clearance_mm(bore, *sizes)
        assert len(fit.across(wider, *sizes).findings) <= len(fit.across(bore, *sizes).findings)


def test_adding_a_board_or_a_gap_never_lowers_the_least_bore() -> None:
    dice = random.Random(2)
    for _ in range(CASES):
        cell, width, height, gap = _sizes(dice)
        least = fit.least_bore_mm(cell, width, height)
        assert least >= fit.least_bore_mm(cell, 0, 0) == cell
        assert least >= fit.least_bore_mm(0, width, height) - fit.rounding.NOISE_MM
        assert fit.least_bore_mm(cell, width, height, gap) >= least - fit.rounding.NOISE_MM


def test_a_stack_turned_round_is_the_same() -> None:
    dice = random.Random(3)
    for _ in range(CASES):
        terms: list[fit.Term] = [
            (dice.uniform(0, 90), dice.uniform(0, 1), dice.uniform(0, 1), dice.choice([1, -1]))
            for _ in range(dice.randint(1, 9))
        ]
        stack = fit.stack_up(terms)
        assert fit.stack_up(terms[::-1]) == stack
        other = fit.stack_up([(length, up, down, -sign) for length, up, down, sign in terms])
        assert other.nominal == -stack.nominal
        assert (other.worst_low, other.worst_high) == (-stack.worst_high, -stack.worst_low)
        assert (other.rss_low, other.rss_high) == (-stack.rss_high, -stack.rss_low)


def test_rounding_never_makes_a_red_line_green() -> None:
    dice = random.Random(4)
    for _ in range(CASES):
        value = dice.choice([1, 1e-2, 1e-4, 1e-8]) * dice.uniform(-1, 1)
        for places in range(7):
            shown = fit.shown_clearance_mm(value, places)
            assert (shown < 0) == (value < 0)
            assert shown <= Decimal(value)
            assert fit.shown_bore_mm(abs(value), places) >= Decimal(repr(abs(value)))


def test_a_bore_of_the_least_size_shown_takes_what_is_in_it() -> None:
    dice = random.Random(5)
    for _ in range(CASES):
        cell, width, height, gap = _sizes(dice)
        least = fit.shown_bore_mm(fit.least_bore_mm(cell, width, height, gap))
        assert fit.clearance_mm(float(least), cell, width, height, gap) >= 0


def test_an_exact_fit_is_no_misfit_of_floats() -> None:
    assert 18.6 + 3.1 > 21.7
    assert fit.clearance_mm(21.7, 18.6, 0, 3.1) == 0
    assert fit.across(21.7, 18.6, 0, 3.1).findings == ()


def test_an_empty_bore_needs_no_room_and_a_gap_alone_takes_none() -> None:
    assert fit.least_bore_mm(0, 0, 0) == 0
    assert fit.least_bore_mm(18.5, 0, 0, 2) == 18.5
    assert fit.least_bore_mm(0, 3, 4, 2) == 5


def test_a_bore_too_small_says_by_how_much() -> None:
    (found,) = fit.across(26, 18.5, 20, 3, about="grip").findings
    assert (found.level, found.code, found.about) == (Level.STOPS, "bore-too-small", "grip")
    assert found.figures["least_bore_mm"] == pytest.approx(26.1512, abs=5e-5)
    assert found.figures["clearance_mm"] == pytest.approx(-0.1512, abs=5e-5)


def _codes(clearance: fit.Clearance) -> list[tuple[str, Level]]:
    return [(found.code, found.level) for found in clearance.findings]


@pytest.mark.parametrize(
    ("bore", "part", "codes"),
    [
        (28.0, 27.5, []),
        (28.0, 27.8, []),  # 0.2 to the bit, whatever floats say
        (28.0, 27.9, [("part-tight", Level.KNOW)]),
        (28.0, 28.0, [("part-tight", Level.KNOW)]),
        (28.0, 28.1, [("part-too-wide", Level.STOPS)]),
    ],
)
def test_a_round_part_in_a_bore(bore: float, part: float, codes: list[object]) -> None:
    assert _codes(fit.round_part(bore, part)) == codes


@pytest.mark.parametrize(
    ("socket", "depth", "codes"),
    [
        (25.5, 25.4, []),
        (25.7, 40.0, []),
        (25.3, 25.4, [("blade-too-wide", Level.STOPS)]),
        (25.4, 25.4, [("blade-tight", Level.KNOW)]),
        (25.8, 25.4, [("blade-loose", Level.KNOW)]),
        (25.6, 19.0, [("blade-shallow", Level.KNOW)]),
        (25.6, 18.9, [("blade-too-shallow", Level.STOPS)]),
        (25.6, 0.0, [("blade-too-shallow", Level.STOPS)]),
        (25.0, 5.0, [("blade-too-wide", Level.STOPS), ("blade-too-shallow", Level.STOPS)]),
    ],
)
def test_a_blade_of_an_inch_in_its_socket(socket: float, depth: float, codes: list[object]) -> None:
    assert _codes(fit.blade(socket, 25.4, depth)) == codes


def test_room_left_is_the_sections_less_the_blade() -> None:
    assert fit.room_left_mm([60.0, 120.5, 40.0], 25.4) == pytest.approx(195.1)
    assert fit.room_left_mm([60.0]) == 60.0


@pytest.mark.parametrize(
    ("room", "found"),
    [
        (101.0, None),
        (100.6, None),
        (100.5, ("worst-too-long", Level.KNOW)),
        (100.2, ("likely-too-long", Level.DECIDE)),
        (100.0, ("likely-too-long", Level.DECIDE)),
        (99.9, ("too-long", Level.STOPS)),
    ],
)
def test_parts_in_the_room_that_is_left(room: float, found: tuple[str, Level] | None) -> None:
    parts = [fit.Length(70, 0.3, 0.3), fit.Length(30, 0.3, 0.3)]
    slack = fit.lengthwise(room, parts)
    assert slack.nominal == pytest.approx(room - 100)
    codes = [(one.code, one.level) for one in fit.slack_findings(slack, "grip")]
    assert codes == ([found] if found else [])


def test_the_room_has_a_tolerance_of_its_own() -> None:
    slack = fit.lengthwise(100, [fit.Length(99)], room_plus_mm=0.2, room_minus_mm=0.4)
    assert (slack.worst_low, slack.worst_high) == pytest.approx((0.6, 1.2))
