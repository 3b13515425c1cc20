"""In which order a hilt comes apart and goes together: steps, and which come off before which."""

from collections.abc import Collection, Hashable, Iterable, Mapping
from typing import TypeVar

Step = TypeVar("Step", bound=Hashable)


class Loop(ValueError):
    """Steps that wait for each other in a ring, so that none of them can ever come off."""

    def __init__(self, steps: Iterable[Hashable]) -> None:
        self.steps = tuple(steps)
        ring = " → ".join(str(step) for step in (*self.steps, *self.steps[:1]))
        super().__init__(f"These steps wait for each other, so none can come first: {ring}.")


def groups(steps: Iterable[Step], after: Mapping[Step, Collection[Step]]) -> list[frozenset[Step]]:
    """The steps of taking apart, in groups one after another; inside a group any order goes.

    ``after`` names for a step those that come off before it. A step stands in the group after
    the last of these: group(s) = 1 + max group of after[s], 1 where there is none.

    Source: topological generations of a directed graph (A. B. Kahn, 1962).

    :raises Loop: where steps wait for each other.
    :raises ValueError: where a step is listed twice, or ``after`` names one that is not listed.
    """
    listed = _listed(steps, after)
    waits = {step: set(after.get(step, ())) for step in listed}
    found: list[frozenset[Step]] = []
    while waits:
        free = frozenset(step for step, others in waits.items() if not others)
        if not free:
            ring = _ring(waits)
            raise Loop(ring)
        found.append(free)
        waits = {step: others - free for step, others in waits.items() if step not in free}
    return found


def together(
    steps: Iterable[Step], after: Mapping[Step, Collection[Step]]
) -> list[frozenset[Step]]:
    """The steps of putting together: the groups of taking apart, from the last to the first.

    Source: what came off last goes on first; see :func:`groups`.

    :raises Loop: where steps wait for each other.
    :raises ValueError: where a step is listed twice, or ``after`` names one that is not listed.
    """
    return groups(steps, after)[::-1]


def before(step: Step, after: Mapping[Step, Collection[Step]]) -> list[Step]:
    """What has to come off before a step, in an order that works: by groups, then by name.

    Source: the ancestors of a step in the directed graph; see :func:`groups`. A step that waits
    for nothing and that nothing waits for stands in ``after`` with nothing behind it.

    :raises Loop: where steps wait for each other.
    :raises ValueError: where ``after`` does not know the step.
    """
    known = dict.fromkeys([*after, *(other for others in after.values() for other in others)])
    if step not in known:
        raise ValueError(f"There is no step called “{step}” in this hilt.")
    order = groups(known, after)
    needed: set[Step] = set()
    look_at = [step]
    while look_at:
        new = set(after.get(look_at.pop(), ())) - needed
        needed |= new
        look_at.extend(new)
    return [other for group in order for other in sorted(group & needed, key=str)]


def _listed(steps: Iterable[Step], after: Mapping[Step, Collection[Step]]) -> list[Step]:
    listed = list(steps)
    known = set(listed)
    if len(known) < len(listed):
        twice = next(step for step in listed if listed.count(step) > 1)
        raise ValueError(f"The step “{twice}” is listed twice.")
    for step, others in after.items():
        for named in (step, *sorted(others, key=str)):
            if named not in known:
                raise ValueError(f"There is no step called “{named}” in this hilt.")
    return listed


def _ring(waits: Mapping[Step, set[Step]]) -> list[Step]:
    # Every step that is left waits for another one left: walking back must come round.
    place = {step: number for number, step in enumerate(waits)}
    way: list[Step] = [next(iter(waits))]
    while (last := min(waits[way[-1]], key=place.__getitem__)) not in way:
        way.append(last)
    ring = way[way.index(last) :][::-1]  # in the order in which they would come off
    first = min(range(len(ring)), key=lambda at: place[ring[at]])
    return ring[first:] + ring[:first]
