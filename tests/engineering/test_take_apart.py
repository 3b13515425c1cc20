"""Taking apart: what it refuses, and what it answers on the smallest hilts."""

from collections.abc import Callable

import pytest

from builds.engineering import take_apart


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: take_apart.groups(["cap"], {"cap": {"clip"}}), "no step called “clip”"),
        (lambda: take_apart.groups(["cap"], {"clip": {"cap"}}), "no step called “clip”"),
        (lambda: take_apart.groups(["cap", "cap"], {}), "“cap” is listed twice"),
        (lambda: take_apart.together(["cap"], {"cap": {"clip"}}), "no step called “clip”"),
        (lambda: take_apart.together(["cap", "cap"], {}), "“cap” is listed twice"),
        (lambda: take_apart.before("clip", {"cap": ()}), "no step called “clip”"),
        (lambda: take_apart.groups(["cap"], {"cap": {"cap"}}), "cap → cap"),
        (lambda: take_apart.before("a", {"a": {"b"}, "b": {"a"}}), "none can come first"),
        (lambda: take_apart.together(["a", "b"], {"a": {"b"}, "b": {"a"}}), "a → b → a"),
    ],
)
def test_refusals(call: Callable[[], object], sentence: str) -> None:
    with pytest.raises(ValueError, match=sentence):
        call()


def test_a_hilt_without_steps_has_no_groups() -> None:
    assert take_apart.groups([], {}) == []


def test_steps_that_wait_for_nothing_come_off_in_any_order() -> None:
    assert take_apart.groups(["cap", "clip"], {}) == [frozenset({"cap", "clip"})]


def test_a_loop_names_its_steps_in_the_order_in_which_they_wait() -> None:
    with pytest.raises(take_apart.Loop) as caught:
        take_apart.groups(["free", "a", "b", "c"], {"a": {"c"}, "b": {"a"}, "c": {"b"}})
    assert caught.value.steps == ("a", "b", "c")


def test_steps_may_be_numbers_of_rows() -> None:
    assert take_apart.before(3, {3: [2], 2: [1]}) == [1, 2]


def test_nothing_comes_before_the_first_step() -> None:
    assert take_apart.before("cap", {"clip": {"cap"}}) == []
