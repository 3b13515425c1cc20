"""Puts a hilt and its parts together, and finds what does not fit."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from builds.engineering.findings import Finding
from builds.engineering.fit import LEAST_DEPTH_MM, Stack, slack_findings, stack_up
from builds.engineering.given import NOISE
from builds.fitting.layout.across import combo_of
from builds.fitting.layout.along import (
    IN_BORE,
    IN_WALL,
    Group,
    blade_of,
    gaps_of,
    groups_of,
    in_place,
    kept_free_mm,
    tubes_of,
)
from builds.fitting.layout.found import across, bays, blade_found, turned, walls
from builds.fitting.layout.lacking import lacks_of
from builds.fitting.layout.standing import things_of
from builds.fitting.layout.turning import turns_of
from builds.fitting.layout.values import Combo, Cut, Item, Layout, Stretch, Tube

PLACED = (*IN_BORE, *IN_WALL, "chassis")
_ALPHABET = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # without I and O, as drawings do
LETTERS = (*_ALPHABET, *(f"A{letter}" for letter in _ALPHABET))  # more than sections can be
SHARED_MM = 0.5  # what reaches less than this into a neighbour is not asked there


def lay_out(
    stretches: Sequence[Stretch], items: Sequence[Item], least_depth_mm: float = LEAST_DEPTH_MM
) -> Layout:
    """Everything in its place: sections, blade, parts; clearances, findings, what is missing.

    :param least_depth_mm: how far a blade must go into its socket.
    """
    tubes = tubes_of(stretches)
    blade = blade_of(tubes, items)
    keys = {stretch.key for stretch in stretches}
    placed = [item for item in items if item.kind in PLACED and item.section in keys]
    unplaced = tuple(item for item in items if item.kind in PLACED and item.section not in keys)
    length = tubes[-1].x1 if tubes else 0.0
    front = blade.end if blade else _socket_end(tubes)
    groups = in_place(groups_of(tubes, placed), front, length)
    cuts = _lettered([cut for group in groups for cut in _cuts(group, tubes)])
    slack = _slack(tubes, front, groups)
    things = things_of(tubes, groups, cuts, placed)
    turns = turns_of(tubes)
    findings = (
        *blade_found(blade, least_depth_mm),
        *(found for cut in cuts for found in across(cut)),
        *bays(groups),
        *(slack_findings(slack) if slack else ()),
        *walls(things, tubes),
        *turned(turns),
    )
    return Layout(
        tubes=tubes,
        things=things,
        cuts=tuple(cuts),
        blade=blade,
        gaps=gaps_of(groups, front, length),
        turns=turns,
        slack=slack,
        whole=_whole(tubes),
        findings=_by_weight(findings),
        lacks=lacks_of(stretches, items, unplaced),
        unplaced=unplaced,
    )


def _by_weight(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    order = {"stops": 0, "decide": 1, "know": 2}
    return tuple(sorted(findings, key=lambda found: order[found.level]))


def _combos(group: Group) -> list[Combo]:
    found, at = [], group.x0
    for chain in group.riders:
        end = at + max(item.long_mm for item in chain)
        found.append(combo_of((group.base, *chain), at, end))
        at = end
    if not group.riders:
        found.append(combo_of((group.base,), group.x0, group.x0 + group.base.long_mm))
    return [combo for combo in found if combo]


def _cuts(group: Group, tubes: Sequence[Tube]) -> list[Cut]:
    combos = _combos(group)
    if group.chassis and group.base is not group.chassis:
        inside = combo_of((group.chassis,), group.x0, group.x1)
        combos += [inside] if inside else []
    cuts = [
        _cut(combo, group.tube, group.chassis, reaches=False)
        for combo in combos
        if group.tube.given.bore
    ]
    for tube in tubes:
        if tube is group.tube or tube.given.bore is None:
            continue
        cuts += [
            _cut(combo, tube, None, reaches=True)
            for combo in combos
            if _shared(combo, tube) > SHARED_MM
        ]
    return cuts


def _cut(combo: Combo, tube: Tube, chassis: Item | None, *, reaches: bool) -> Cut:
    # A nanometre is noise: 26.2 less 21 must not read as 5.19.
    room = round(tube.bore.mm - combo.least_mm, 6) + 0.0
    return Cut("", tube, combo, room, reaches, chassis)


def _shared(combo: Combo, tube: Tube) -> float:
    return min(combo.x1, tube.x1) - max(combo.x0, tube.x0)


def _lettered(cuts: Sequence[Cut]) -> list[Cut]:
    """Of each bore the tightest cut gets a letter, in the order from the blade's end."""
    tightest: dict[int, Cut] = {}
    for cut in (each for each in cuts if not (each.reaches and each.fits)):
        best = tightest.get(cut.tube.given.key)
        if best is None or _tightness(cut) < _tightness(best):
            tightest[cut.tube.given.key] = cut
    chosen = sorted(tightest.values(), key=lambda cut: cut.tube.x0)
    letters = {id(cut): letter for cut, letter in zip(chosen, LETTERS, strict=False)}
    return [replace(cut, letter=letters.get(id(cut), "")) for cut in cuts]


def _tightness(cut: Cut) -> tuple[float, int]:
    return (cut.clearance_mm, -len(cut.combo.items))


def _whole(tubes: Sequence[Tube]) -> Stack | None:
    if not tubes or any(tube.given.length is None for tube in tubes):
        return None
    return stack_up([_term(tube) for tube in tubes])


def _term(tube: Tube) -> tuple[float, float, float, int]:
    return (tube.length.mm, tube.length.tolerance, tube.length.tolerance, 1)


def _socket_end(tubes: Sequence[Tube]) -> float:
    """Where the blade's socket ends: room for a blade, chosen or not."""
    tube = next((tube for tube in tubes if tube.given.holds_blade), None)
    if tube is None or tube.given.socket_depth is None:
        return 0.0
    return tube.x0 + tube.given.socket_depth.mm


def _depth_tolerance(tubes: Sequence[Tube]) -> float:
    """The tolerance of the socket's depth."""
    depths = [tube.given.socket_depth for tube in tubes if tube.given.holds_blade]
    return depths[0].tolerance if depths and depths[0] else 0.0


def _slack(tubes: Sequence[Tube], front: float, groups: Sequence[Group]) -> Stack | None:
    """What is left along the hilt: the sections, less the blade, less every part in turn."""
    if not groups or _whole(tubes) is None:
        return None
    terms = [_term(tube) for tube in tubes]
    if front:
        terms.append((front, _depth_tolerance(tubes), _depth_tolerance(tubes), -1))
    terms += [(group.long_mm, 0.0, 0.0, -1) for group in groups]
    kept_free = kept_free_mm(groups, front)
    if kept_free > NOISE:
        terms.append((kept_free, 0.0, 0.0, -1))
    return stack_up(terms)
