"""Fit against published values, and against shapely on seeded random cases.

F: closed form in double precision. L: computed by the library. P: a published page.
"""

import random
from math import cos, hypot, pi, sin

import pytest
import shapely

from builds.engineering import fit

CASES = 1_000
SEGMENTS = 256  # to a quarter: a bore of 30 mm is then drawn 0.0001 mm small


@pytest.mark.parametrize(
    ("cell", "width", "height", "least"),
    [
        (18.5, 20.0, 3.0, 26.1512),  # F, L (shapely)
        (18.5, 18.0, 3.0, 25.2674),  # F
        (14.2, 20.0, 3.0, 23.0140),  # F
        (18.5, 0.0, 3.0, 21.5),  # F: a wire of 3.0 beside the cell
        (0.0, 20.0, 3.0, 20.2237),  # F: the board alone
        (14.2, 36.0, 3.0, 36.1248),  # F: wider than two cells, where the board alone decides
    ],
)
def test_least_bore(cell: float, width: float, height: float, least: float) -> None:
    assert fit.least_bore_mm(cell, width, height) == pytest.approx(least, abs=5e-5)


@pytest.mark.parametrize(
    ("bore", "clearance"),
    [(22.0, -4.1512), (24.0, -2.1512), (26.0, -0.1512), (28.0, 1.8488)],  # F
)
def test_clearance_of_the_worst_case_in_usual_bores(bore: float, clearance: float) -> None:
    assert fit.clearance_mm(bore, 18.5, 20.0, 3.0) == pytest.approx(clearance, abs=5e-5)


@pytest.mark.parametrize(
    ("count", "ratio"),
    [(1, 1.0), (2, 2.0), (3, 2.1547), (4, 2.4142)],  # F: n equal circles, D/d
)
def test_equal_cells_side_by_side(count: int, ratio: float) -> None:
    assert fit.bundle_mm(18.5, count) == pytest.approx(18.5 * ratio, abs=1e-3)


def test_stack_up_of_a_housing_and_three_parts() -> None:
    """P: ficientdesign.com, tolerance stack-up."""
    stack = fit.stack_up(
        [
            (4.020, 0.005, 0.005, 1),
            (2.000, 0.005, 0.005, -1),
            (1.500, 0.003, 0.003, -1),
            (0.500, 0.002, 0.002, -1),
        ]
    )
    assert stack.nominal == pytest.approx(0.020)
    assert (stack.worst_low, stack.worst_high) == pytest.approx((0.005, 0.035))
    assert (stack.rss_low, stack.rss_high) == pytest.approx((0.012, 0.028), abs=5e-4)


def test_stack_up_of_ten_equal_tolerances() -> None:
    """P: a public RSS tolerance page: ten of ± 0.1 are ± 1.0 at worst and ± 0.316 by RSS."""
    stack = fit.stack_up([(5.0, 0.1, 0.1, 1)] * 10)
    assert stack.worst_high - stack.nominal == pytest.approx(1.0)
    assert stack.rss_high - stack.nominal == pytest.approx(0.316, abs=5e-4)
    assert stack.nominal - stack.rss_low == pytest.approx(0.316, abs=5e-4)


def _disc(diameter: float, x: float, y: float) -> shapely.Geometry:
    return shapely.Point(x, y).buffer(diameter / 2, quad_segs=SEGMENTS)


def _cell_and_board(cell: float, width: float, height: float, gap: float) -> shapely.Geometry:
    inner = cell + gap
    board = shapely.box(-width / 2, inner, width / 2, inner + height)
    return shapely.union(_disc(cell, 0, cell / 2), board)


def test_least_bore_is_the_smallest_circle_that_shapely_finds() -> None:
    """Agrees to 0.0005 mm on 1,500 random cells and boards, wide ones and gaps among them."""
    dice = random.Random(20261125)
    wide = 0
    for _ in range(CASES + 500):
        cell, width = dice.uniform(4, 30), dice.uniform(1, 70)
        height, gap = dice.uniform(0.3, 9), dice.choice([0.0, dice.uniform(0, 3)])
        shape = _cell_and_board(cell, width, height, gap)
        reference = 2 * shapely.minimum_bounding_radius(shape)
        assert fit.least_bore_mm(cell, width, height, gap) == pytest.approx(reference, abs=5e-4)
        wide += width > 2 * cell
    assert wide > 200


def test_what_is_placed_lies_inside_its_least_bore_and_does_not_overlap() -> None:
    """Drawn by shapely in 1,000 random cases: inside to 0.0005 mm, the gap as asked to 0.0005."""
    dice = random.Random(7)
    for _ in range(CASES):
        cell, width = dice.uniform(4, 30), dice.uniform(1, 70)
        height, gap = dice.uniform(0.3, 9), dice.uniform(0, 3)
        placed = fit.place(cell, width, height, gap)
        low = placed.board_y_mm - height / 2
        board = shapely.box(-width / 2, low, width / 2, low + height)
        round_cell = _disc(cell, 0, placed.cell_y_mm)
        both = shapely.union(round_cell, board)
        reach = max(hypot(x, y) for x, y in shapely.get_coordinates(both))
        assert 2 * reach == pytest.approx(placed.least_bore_mm, abs=5e-4)
        assert shapely.distance(round_cell, board) == pytest.approx(gap, abs=5e-4)


def test_equal_cells_side_by_side_as_shapely_bounds_them() -> None:
    """Agrees to 0.001 mm on 1,000 random diameters, two to four cells each touching the next."""
    dice = random.Random(11)
    for _ in range(CASES):
        diameter, count = dice.uniform(4, 30), dice.choice([2, 3, 4])
        ring = diameter / 2 / sin(pi / count)
        turns = [2 * pi * number / count for number in range(count)]
        cells = [_disc(diameter, ring * cos(turn), ring * sin(turn)) for turn in turns]
        reference = 2 * shapely.minimum_bounding_radius(shapely.multipolygons(cells))
        assert fit.bundle_mm(diameter, count) == pytest.approx(reference, abs=1e-3)


def test_a_stack_of_random_parts_stays_within_its_worst_case() -> None:
    """1,000 random stacks, 20 random assemblies each: none outside worst, RSS inside worst."""
    dice = random.Random(13)
    for _ in range(CASES):
        terms: list[fit.Term] = [
            (dice.uniform(0, 90), dice.uniform(0, 1), dice.uniform(0, 1), dice.choice([1, -1]))
            for _ in range(dice.randint(1, 9))
        ]
        stack = fit.stack_up(terms)
        assert stack.worst_low <= stack.rss_low <= stack.rss_high <= stack.worst_high
        for _ in range(20):
            made = sum(sign * (n + dice.uniform(-minus, plus)) for n, plus, minus, sign in terms)
            assert stack.worst_low - 1e-9 <= made <= stack.worst_high + 1e-9
