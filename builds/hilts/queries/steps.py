"""How hilts come apart: their steps in numbered groups, and back together."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from string import ascii_lowercase

from builds.engineering.take_apart import groups
from builds.hilts.models import Hilt, Step, StepLink


@dataclass(frozen=True)
class StepRow:
    """A step with its label (2, or 2a and 2b where any order goes) and what comes off before it."""

    label: str
    step: Step
    firsts: tuple[Step, ...] = ()

    @property
    def first_ids(self) -> set[int]:
        """The keys of the steps that come off before it."""
        return {step.pk for step in self.firsts}


@dataclass(frozen=True)
class Group:
    """Steps that come off in any order among themselves."""

    number: int
    rows: tuple[StepRow, ...]

    @property
    def is_free(self) -> bool:
        """Whether there are several, so that it must be said."""
        return len(self.rows) > 1


@dataclass(frozen=True)
class TakeApart:
    """The steps of one hilt, from the first to come off to the last."""

    groups: tuple[Group, ...] = ()

    @property
    def rows(self) -> list[StepRow]:
        """Every step in an order that works."""
        return [row for group in self.groups for row in group.rows]

    @property
    def together(self) -> tuple[Group, ...]:
        """The way back: what came off last goes on first."""
        return self.groups[::-1]


def take_aparts(hilts: Iterable[Hilt | int]) -> dict[int, TakeApart]:
    """Hilt id → its steps, in two queries for all."""
    ids = [hilt if isinstance(hilt, int) else hilt.pk for hilt in hilts]
    steps: dict[int, list[Step]] = {}
    for step in Step.objects.filter(hilt__in=ids, ended_at=None).order_by("pk"):
        steps.setdefault(step.hilt_id, []).append(step)
    links: dict[int, set[int]] = {}
    kept = StepLink.objects.filter(
        step__hilt__in=ids, step__ended_at=None, first__ended_at=None
    ).values_list("step", "first")
    for step_id, first_id in kept:
        links.setdefault(step_id, set()).add(first_id)
    return {each: _apart(steps.get(each, []), links) for each in ids}


def step_mark(step: Step, first_ids: Collection[int]) -> str:
    """What tells a step that somebody saw from one that was changed since."""
    seen = (step.words, step.how, step.for_owner, step.wants_heat, sorted(first_ids))
    return sha256(repr((*seen, step.ended_at is not None)).encode()).hexdigest()[:16]


def _apart(steps: Sequence[Step], links: Mapping[int, set[int]]) -> TakeApart:
    known = {step.pk: step for step in steps}
    after = {pk: links.get(pk, set()) for pk in known}
    return TakeApart(
        tuple(
            Group(number, tuple(_rows(number, sorted(group), known, after)))
            for number, group in enumerate(groups(known, after), start=1)
        )
    )


def _rows(
    number: int, group: Sequence[int], known: Mapping[int, Step], after: Mapping[int, set[int]]
) -> Iterable[StepRow]:
    for place, pk in enumerate(group):
        letter = ascii_lowercase[place % 26] if len(group) > 1 else ""
        firsts = tuple(known[first] for first in sorted(after[pk]))
        yield StepRow(f"{number}{letter}", known[pk], firsts)
