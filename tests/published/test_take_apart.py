"""Taking apart: an invented hilt, and networkx on seeded random orders."""

import random
from collections.abc import Collection, Hashable, Mapping
from itertools import pairwise

import networkx as nx
import pytest

from builds.engineering import take_apart

STEPS = ["port plug", "belt clip", "grip screws", "sleeve", "lens ring", "core"]
AFTER = {
    "belt clip": {"port plug"},
    "grip screws": {"belt clip"},
    "sleeve": {"grip screws"},
    "lens ring": {"port plug"},
    "core": {"sleeve", "lens ring"},
}
GROUPS = [
    frozenset({"port plug"}),
    frozenset({"belt clip", "lens ring"}),
    frozenset({"grip screws"}),
    frozenset({"sleeve"}),
    frozenset({"core"}),
]
CASES = 1_000


def test_groups_of_a_hilt() -> None:
    """L: networkx topological generations, and graphlib of the standard library."""
    assert take_apart.groups(STEPS, AFTER) == GROUPS


def test_together_again_is_the_way_back() -> None:
    """L: the same groups in reverse."""
    assert take_apart.together(STEPS, AFTER) == GROUPS[::-1]


def test_a_loop_is_named() -> None:
    """L: core before port plug makes a ring of all but the lens ring, or the shorter way by it."""
    with pytest.raises(take_apart.Loop) as caught:
        take_apart.groups(STEPS, AFTER | {"port plug": {"core"}})
    _assert_ring(caught.value.steps, AFTER | {"port plug": {"core"}})
    assert {"port plug", "core"} <= set(caught.value.steps)
    assert set(caught.value.steps) >= {"port plug", "core"}


def test_what_comes_off_before_the_sleeve() -> None:
    """L: the ancestors of the sleeve."""
    assert take_apart.before("sleeve", AFTER) == ["port plug", "belt clip", "grip screws"]


Order = dict[str, set[str]]


def _without_loops(dice: random.Random) -> tuple[list[str], Order]:
    steps = [f"step {number}" for number in range(dice.randint(1, 14))]
    after = {
        step: {earlier for earlier in steps[:at] if dice.random() < 0.25}
        for at, step in enumerate(steps)
    }
    dice.shuffle(steps)
    return steps, after


def _graph(steps: list[str], after: Order) -> nx.DiGraph:
    graph = nx.DiGraph()
    graph.add_nodes_from(steps)
    graph.add_edges_from((earlier, step) for step, all_ in after.items() for earlier in all_)
    return graph


def _assert_ring(ring: tuple[Hashable, ...], after: Mapping[str, Collection[Hashable]]) -> None:
    assert len(set(ring)) == len(ring)
    for earlier, later in pairwise((*ring, ring[0])):
        assert earlier in after[str(later)]


def test_groups_are_the_topological_generations_of_networkx() -> None:
    """Equal on 1,000 random orders of up to 14 steps; the way back undoes them one by one."""
    dice = random.Random(20261125)
    for _ in range(CASES):
        steps, after = _without_loops(dice)
        generations = [frozenset(some) for some in nx.topological_generations(_graph(steps, after))]
        assert take_apart.groups(steps, after) == generations
        _assert_goes_together(take_apart.together(steps, after), after)


def _assert_goes_together(groups: list[frozenset[str]], after: Order) -> None:
    # What comes off before a step must still be off when the step goes on again.
    on: set[str] = set()
    for group in groups:
        assert all(not after[step] & (on | group) for step in group)
        on |= group
    assert on == set(after)


def test_before_are_the_ancestors_of_networkx_in_an_order_that_works() -> None:
    """Equal as sets on 1,000 random orders, and each stands after what it waits for itself."""
    dice = random.Random(3)
    for _ in range(CASES):
        steps, after = _without_loops(dice)
        step = dice.choice(steps)
        order = take_apart.before(step, after)
        assert set(order) == nx.ancestors(_graph(steps, after), step)
        for at, earlier in enumerate(order):
            assert after[earlier] <= set(order[:at])


def test_loops_are_found_where_networkx_finds_them() -> None:
    """The same verdict on 1,000 random orders, half of them with loops; each ring named is one."""
    dice = random.Random(5)
    loops = 0
    for _ in range(CASES):
        steps, after = _without_loops(dice)
        for _ in range(dice.randint(0, 2)):
            after[dice.choice(steps)].add(dice.choice(steps))
        if nx.is_directed_acyclic_graph(_graph(steps, after)):
            take_apart.groups(steps, after)
            continue
        loops += 1
        with pytest.raises(take_apart.Loop) as caught:
            take_apart.groups(steps, after)
        _assert_ring(caught.value.steps, after)
    assert 250 < loops < 750
