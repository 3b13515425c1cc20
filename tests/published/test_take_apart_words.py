"""The text of taking apart against networkx: the same orders, and nothing said free that is not."""

import random
import re
from collections.abc import Callable
from itertools import chain

import networkx as nx
import pytest

from builds.engineering.take_apart import Loop
from builds.handover.booklet_words.take_apart import Stage, Step, TakenApart, in_words

pytestmark = pytest.mark.filterwarnings("error")


def random_order(seed: int) -> tuple[list[Step], dict[int, set[int]], nx.DiGraph]:
    """Steps that wait for earlier ones at random, some of them the shop's alone, shuffled."""
    chance = random.Random(seed)
    keys = list(range(chance.randint(0, 14)))
    odds = chance.choice([0.05, 0.15, 0.3, 0.6])
    after = {
        key: {other for other in keys[:at] if chance.random() < odds} for at, key in enumerate(keys)
    }
    shut = chance.choice([0.0, 0.0, 0.2])
    steps = [
        Step(key, f"part {key}", ours="left to us" if chance.random() < shut else "")
        for key in keys
    ]
    chance.shuffle(steps)
    graph = nx.DiGraph()
    graph.add_nodes_from(keys)
    graph.add_edges_from((first, key) for key, firsts in after.items() for first in firsts)
    return steps, after, graph


def keys_of(stages: tuple[Stage, ...]) -> list[list[int]]:
    return [[step.key for step in stage.steps] for stage in stages]


@pytest.mark.parametrize("hundred", range(10))
def test_the_text_agrees_with_networkx(hundred: int) -> None:
    for seed in range(100 * hundred, 100 * hundred + 100):
        _agrees(*random_order(seed))


def _agrees(steps: list[Step], after: dict[int, set[int]], graph: nx.DiGraph) -> None:
    told = in_words(steps, after)
    mine = graph.subgraph(_owners(steps, graph))
    apart, back = keys_of(told.apart), keys_of(told.back)
    # Every step of the owner's once, each after all that must be off; and the way back.
    assert sorted(chain(*apart)) == sorted(mine)
    assert apart == [sorted(each, key=_place(steps)) for each in nx.topological_generations(mine)]
    _holds(list(chain(*apart)), mine)
    _holds(list(chain(*back)), mine.reverse())
    _free_as_said(told, mine)
    _needs_as_said(told, mine)
    assert {each.words for each in told.ours} == {f"part {key}" for key in set(graph) - set(mine)}


def _owners(steps: list[Step], graph: nx.DiGraph) -> set[int]:
    ours = {step.key for step in steps if step.ours}
    return {key for key in graph if key not in ours and not nx.ancestors(graph, key) & ours}


def _place(steps: list[Step]) -> Callable[[int], int]:
    return {step.key: at for at, step in enumerate(steps)}.__getitem__


def _holds(order: list[int], graph: nx.DiGraph) -> None:
    at = {key: place for place, key in enumerate(order)}
    assert all(at[first] < at[then] for first, then in graph.edges)


def _free_as_said(told: TakenApart, graph: nx.DiGraph) -> None:
    for stage in (*told.apart, *told.back):
        keys = [step.key for step in stage.steps]
        free = not any(nx.has_path(graph, a, b) for a in keys for b in keys if a != b)
        assert free
        assert ("in any order" in stage.said) == (len(keys) > 1)
        named = re.findall(r"\d+[a-z]*", stage.said)
        assert named == ([step.label for step in stage.steps] if len(keys) > 1 else [])


def _needs_as_said(told: TakenApart, graph: nx.DiGraph) -> None:
    """Followed to their ends, the needs that are said are exactly what must be off before."""
    by_label = {step.label: step for stage in told.apart for step in stage.steps}
    reduced = nx.transitive_reduction(graph)
    for at, stage in enumerate(told.apart):
        plain = all(len(each.steps) == 1 for each in told.apart[:at])
        for step in stage.steps:
            needs = {by_label[label].key for label in re.findall(r"\d+[a-z]*", step.needs)}
            expected = set(reduced.predecessors(step.key))
            assert needs == (set() if plain else expected)
            if plain and at:
                assert expected == {told.apart[at - 1].steps[0].key}


def test_thirty_steps_in_any_order_each_have_a_label_of_their_own() -> None:
    told = in_words([Step(key, str(key)) for key in range(30)], {})
    labels = [step.label for step in told.apart[0].steps]
    assert len(set(labels)) == 30
    assert labels[25:28] == ["1z", "1aa", "1ab"]


def test_steps_in_a_ring_are_named() -> None:
    with pytest.raises(Loop):
        in_words([Step(1, "pommel"), Step(2, "grip")], {1: {2}, 2: {1}})


def test_what_waits_for_a_step_of_ours_is_ours_too_and_says_why() -> None:
    steps = [Step(1, "Neck", ours="wants heat"), Step(2, "Lens"), Step(3, "Pommel")]
    told = in_words(steps, {2: {1}})
    assert [each.words for each in told.ours] == ["Neck", "Lens"]
    assert told.ours[1].why == "comes free only after “Neck”"
    assert keys_of(told.apart) == [[3]]
