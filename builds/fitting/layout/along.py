"""Along the hilt: sections one behind the other, and the parts in them, as far front as they go."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from builds.fitting.layout.values import ESTIMATED, Blade, Gap, Item, Size, Stretch, Tube

WALL_MM = 3.0  # where nobody measured the outside; from memory, unchecked
LENGTH_MM = 40.0  # where nobody measured the length: drawn so, reckoned with nowhere
BORE_MM = 26.0  # the same for a bore
IN_BORE = ("cell", "board", "speaker", "connector", "accent", "led", "other", "protection")
IN_WALL = ("switch", "port")


@dataclass(frozen=True)
class Group:
    """A part that stands in the bore, with what lies on it, and how long they are together."""

    tube: Tube
    base: Item
    riders: tuple[tuple[Item, ...], ...] = ()  # chains: a board, and what lies on that board
    least_mm: float = 0.0  # a chassis may be longer than what it holds
    chassis: Item | None = None
    x0: float = 0.0

    @property
    def items(self) -> tuple[Item, ...]:
        """The base and everything on it."""
        return (self.base, *(item for chain in self.riders for item in chain))

    @property
    def long_mm(self) -> float:
        """What it takes along the hilt."""
        on_it = sum(max(item.long_mm for item in chain) for chain in self.riders)
        return max(self.base.long_mm, on_it, self.least_mm)

    @property
    def from_x(self) -> float | None:
        """Where it is to begin, if somebody said so."""
        starts = self.base.starts_mm
        return None if starts is None else self.tube.x0 + starts

    @property
    def x1(self) -> float:
        """Where it ends."""
        return self.x0 + self.long_mm


def tubes_of(stretches: Iterable[Stretch]) -> tuple[Tube, ...]:
    """Sections behind one another; what nobody measured is estimated and says so."""
    tubes: list[Tube] = []
    x = 0.0
    for given in stretches:
        length = given.length or Size(LENGTH_MM, ESTIMATED)
        guess = tubes[-1].bore.mm if tubes else BORE_MM
        bore = given.bore or Size(guess, ESTIMATED)
        outer = given.outer or Size(bore.mm + 2 * WALL_MM, ESTIMATED)
        tubes.append(Tube(given, x, x + length.mm, bore, outer, length))
        x += length.mm
    return tuple(tubes)


def blade_of(tubes: Iterable[Tube], items: Iterable[Item]) -> Blade | None:
    """The chosen blade in the section that holds it."""
    item = next((item for item in items if item.kind == "blade" and item.diameter_mm), None)
    tube = next((tube for tube in tubes if tube.given.holds_blade), None)
    if item is None or tube is None:
        return None
    # A socket that nobody measured is as wide as the bore, and takes the usual inch.
    bore = tube.given.socket_bore or replace(tube.bore, basis=ESTIMATED)
    depth = tube.given.socket_depth or Size(min(25.4, tube.length.mm), ESTIMATED)
    return Blade(item, tube.x0, tube.x0 + depth.mm, bore, depth)


def groups_of(tubes: Iterable[Tube], items: Sequence[Item]) -> list[Group]:
    """What stands in the bores, from the blade's end; not yet in its place."""
    found = []
    for tube in tubes:
        here = [item for item in items if item.section == tube.given.key]
        chassis = next((item for item in here if item.kind == "chassis"), None)
        keys = {item.key for item in here if item.kind in IN_BORE}
        bases = [
            item
            for item in here
            if item.kind in IN_BORE and (item.lies_on not in keys or _looped(item, here))
        ]
        groups = [
            Group(tube, base, _chains(base, here), chassis=chassis)
            for base in sorted(bases, key=lambda item: (item.position, item.key))
        ]
        found += _in_chassis(tube, chassis, groups)
    return found


def _looped(item: Item, here: Sequence[Item]) -> bool:
    """Whether what it lies on lies, in the end, on itself."""
    on = {each.key: each.lies_on for each in here}
    seen, at = set(), item.key
    while (under := on.get(at)) is not None:
        if under == item.key:
            return True
        if under in seen:
            return False
        seen.add(under)
        at = under
    return False


def _chains(base: Item, here: Sequence[Item]) -> tuple[tuple[Item, ...], ...]:
    on_it = [item for item in here if item.lies_on == base.key and item.kind in IN_BORE]
    ordered = sorted(on_it, key=lambda item: (item.position, item.key))
    return tuple(_chain(item, here, {base.key}) for item in ordered)


def _chain(item: Item, here: Sequence[Item], under: set[int]) -> tuple[Item, ...]:
    seen = under | {item.key}
    rest: tuple[Item, ...] = ()
    for each in here:
        if each.lies_on == item.key and each.key not in seen and each.kind in IN_BORE:
            rest += _chain(each, here, seen)
    return (item, *rest)


def _in_chassis(tube: Tube, chassis: Item | None, groups: list[Group]) -> list[Group]:
    if chassis is None:
        return groups
    if not groups:
        return [Group(tube, chassis)]
    over = chassis.long_mm - sum(group.long_mm for group in groups)
    if over <= 0:
        return groups
    last = groups[-1]
    return [*groups[:-1], replace(last, least_mm=last.long_mm + over)]


def in_place(groups: Sequence[Group], front: float, length: float) -> list[Group]:
    """Each as far front in its section as it goes; at the end pushed forward where need be.

    What is longer than its section goes on into the next. Where everything together is too long,
    it stands out at the back, and is found so. What is to begin at some place begins there, or
    behind what stands before it.
    """
    placed, at = [], front
    for group in groups:
        at = max(at, group.tube.x0 if group.from_x is None else group.from_x)
        placed.append(replace(group, x0=at))
        at = placed[-1].x1
    if sum(group.long_mm for group in groups) + kept_free_mm(groups, front) > length - front:
        return _one_behind_another(placed, front)
    limit = length
    for place in reversed(range(len(placed))):
        group = placed[place]
        placed[place] = replace(group, x0=min(group.x0, limit - group.long_mm))
        limit = placed[place].x0
    return placed


def kept_free_mm(groups: Sequence[Group], front: float) -> float:
    """The room in front of what is to begin at some place, which nothing else can take."""
    behind = _one_behind_another(groups, front)
    end = behind[-1].x1 if behind else front
    return end - front - sum(group.long_mm for group in groups)


def _one_behind_another(groups: Sequence[Group], front: float) -> list[Group]:
    placed, at = [], front
    for group in groups:
        at = at if group.from_x is None else max(at, group.from_x)
        placed.append(replace(group, x0=at))
        at = placed[-1].x1
    return placed


def gaps_of(groups: Sequence[Group], front: float, length: float) -> tuple[Gap, ...]:
    """The room between what stands in the hilt, and behind it."""
    found, at = [], front
    for x0, x1 in [*((group.x0, group.x1) for group in groups), (length, length)]:
        if x0 - at > 0.05:
            found.append(Gap(at, x0))
        at = max(at, x1)
    return tuple(found)
