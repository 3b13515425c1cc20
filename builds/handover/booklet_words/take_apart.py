"""How its owner takes a hilt apart and puts it together again, in words: pure, from plain values.

What is left to the shop is left out of the way, with all that waits for it: nobody is told to do
what only comes free by a step that is not theirs.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.engineering.take_apart import before, groups

_LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Step:
    """A step as it is known of the hilt. ``ours``: why it is left to the shop, empty where not."""

    key: int
    words: str
    how: str = ""
    ours: str = ""


@dataclass(frozen=True)
class Told:
    """One step in words. ``needs``: what must be off before it, where that is not plain."""

    key: int
    label: str
    words: str
    how: str
    needs: str = ""


@dataclass(frozen=True)
class Stage:
    """Steps among which any order goes; ``said`` says so where there are several."""

    said: str
    steps: tuple[Told, ...]


@dataclass(frozen=True)
class Ours:
    """A step that is left to the shop, and why."""

    words: str
    why: str


@dataclass(frozen=True)
class TakenApart:
    """The whole way, there and back."""

    apart: tuple[Stage, ...] = ()
    back: tuple[Stage, ...] = ()
    ours: tuple[Ours, ...] = ()


def in_words(steps: Sequence[Step], after: Mapping[int, Collection[int]]) -> TakenApart:
    """The way of taking apart and the way back.

    :param after: step → those that come off before it, as in ``engineering.take_apart``.
    :raises Loop: where steps wait for each other.
    """
    known = {step.key: step for step in steps}
    waits = {key: set(after.get(key, ())) for key in known}
    shut = {key: why for key in known if (why := _why(key, known, waits))}
    mine = {key: waits[key] for key in known if key not in shut}
    order = [sorted(group, key=list(known).index) for group in groups(mine, mine)]
    labels = _labels(order)
    apart = [_stage(group, known, labels, _needed(group, order, mine, labels)) for group in order]
    back = [_stage(group, known, labels, {}) for group in reversed(order)]
    ours = tuple(Ours(known[key].words, why) for key, why in shut.items())
    return TakenApart(tuple(apart), tuple(back), ours)


def _why(key: int, known: Mapping[int, Step], waits: Mapping[int, set[int]]) -> str:
    """Why a step is not the owner's; empty where it is."""
    if known[key].ours:
        return known[key].ours
    first = next((each for each in before(key, waits) if known[each].ours), None)
    return "" if first is None else _("comes free only after “%s”") % known[first].words


def _labels(order: Iterable[Sequence[int]]) -> dict[int, str]:
    return {
        key: f"{number}{_letters(place) if len(group) > 1 else ''}"
        for number, group in enumerate(order, start=1)
        for place, key in enumerate(group)
    }


def _letters(place: int) -> str:
    """a, b … z, aa, ab …"""
    text, left = "", place + 1
    while left:
        left, rest = divmod(left - 1, len(_LETTERS))
        text = _LETTERS[rest] + text
    return text


def _needed(
    group: Sequence[int],
    order: Sequence[Sequence[int]],
    waits: Mapping[int, set[int]],
    labels: Mapping[int, str],
) -> dict[int, str]:
    """Step → what must be off before it. After single steps that is plain: the one before."""
    earlier = order[: list(order).index(group)]
    if all(len(each) == 1 for each in earlier):
        return {}
    near = {key: _nearest(key, waits) for key in group}
    return {
        key: _once_off([label for each, label in labels.items() if each in needs])
        for key, needs in near.items()
        if needs
    }


def _once_off(labels: Sequence[str]) -> str:
    words = _("once %s is off") if len(labels) == 1 else _("once %s are off")
    return words % _and(labels)


def _nearest(key: int, waits: Mapping[int, set[int]]) -> set[int]:
    """Those that come off before a step and before no other of these."""
    further = {far for near in waits[key] for far in before(near, waits)}
    return waits[key] - further


def _stage(
    group: Sequence[int],
    known: Mapping[int, Step],
    labels: Mapping[int, str],
    needed: Mapping[int, str],
) -> Stage:
    said = _("%s: in any order") % _and([labels[key] for key in group]) if len(group) > 1 else ""
    return Stage(
        said,
        tuple(
            Told(key, labels[key], known[key].words, known[key].how, needed.get(key, ""))
            for key in group
        ),
    )


def _and(labels: Sequence[str]) -> str:
    """A, b and c."""
    if len(labels) == 1:
        return labels[0]
    return _("%(most)s and %(last)s") % {"most": ", ".join(labels[:-1]), "last": labels[-1]}
