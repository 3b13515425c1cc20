"""What a layout finds: each with the numbers that its sentence needs."""

from collections.abc import Iterable, Sequence
from types import MappingProxyType

from builds.engineering.findings import Finding, Level
from builds.engineering.fit import blade as blade_in_socket
from builds.engineering.fit import round_part
from builds.fitting.layout.along import Group
from builds.fitting.layout.values import Blade, Cut, Item, Thing, Tube, Turn


def across(cut: Cut) -> list[Finding]:
    """What a combination meets in its bore."""
    if not cut.fits:
        code = "reaches-too-narrow" if cut.reaches else "bore-too-small"
        return [_found(Level.STOPS, code, cut)]
    unsure = cut.tube.bore.tolerance
    if unsure and cut.clearance_mm < unsure:
        return [_found(Level.DECIDE, "bore-may-be-too-small", cut, tolerance_mm=unsure)]
    found = []
    if cut.combo.how == "round" and cut.combo.least_mm > 0:
        tight = round_part(cut.tube.bore.mm, cut.combo.least_mm).findings
        found += [_found(Level.KNOW, each.code, cut, **_numbers(each)) for each in tight]
    if not cut.tube.bore.is_sure and cut.letter:
        found.append(_found(Level.KNOW, "bore-not-measured", cut, basis=cut.tube.bore.basis))
    return found


def _numbers(finding: Finding) -> dict[str, float | str]:
    return {"wanted_mm": finding.figures["wanted_mm"]}


def _found(level: Level, code: str, cut: Cut, **more: float | str) -> Finding:
    kinds = [item.kind for item in cut.combo.items]
    figures: dict[str, float | str] = {
        "what": kinds[-1],
        "on": kinds[0] if len(kinds) > 1 else "",
        "how": cut.combo.how,
        "cut": cut.letter,
        "bore_mm": cut.tube.bore.mm,
        "least_bore_mm": cut.combo.least_mm,
        "clearance_mm": cut.clearance_mm,
    }
    return Finding(level, code, cut.tube.name, MappingProxyType({**figures, **more}))


def blade_found(blade: Blade | None, least_depth_mm: float) -> tuple[Finding, ...]:
    """What the blade meets in its socket; a depth that nobody measured is not judged."""
    if blade is None:
        return ()
    found = blade_in_socket(
        blade.socket_bore.mm, blade.item.diameter_mm or 0.0, blade.depth.mm, least_depth_mm,
        about=blade.item.name,
    ).findings  # fmt: skip
    guessed = {"play_mm": blade.socket_bore, "depth_mm": blade.depth}
    return tuple(
        each
        for each in found
        if not any(name in each.figures and of.basis == "estimated" for name, of in guessed.items())
    )


def bays(groups: Iterable[Group]) -> list[Finding]:
    """Cells that do not go into the bay of their chassis."""
    found = []
    for group in groups:
        for cell in (item for item in group.items if item.kind == "cell"):
            bay = group.chassis.bay_mm if group.chassis else None
            if bay and cell.diameter_mm and cell.diameter_mm > bay + 1e-9:
                figures: dict[str, float | str] = {
                    "bay_mm": bay,
                    "cell_mm": cell.diameter_mm,
                    "what": cell.kind,
                }
                found.append(_plain(Level.STOPS, "bay-too-small", group.tube.name, figures))
    return found


def walls(things: Sequence[Thing], tubes: Sequence[Tube]) -> list[Finding]:
    """Switches and ports that reach down to what lies below them."""
    names = {tube.given.key: tube.name for tube in tubes}
    return [
        _meets(wall.item, below, names, _shared(wall, below)) for wall, below in meetings(things)
    ]


def meetings(things: Sequence[Thing]) -> list[tuple[Thing, Thing]]:
    """Each part in the wall that reaches too far, with what it meets."""
    inside = [thing for thing in things if thing.role in {"base", "rider"}]
    found = []
    for thing in (each for each in things if each.role == "wall"):
        below = [each for each in inside if each.x0 < thing.x1 and each.x1 > thing.x0]
        worst = max(below, key=lambda each: _shared(thing, each), default=None)
        if worst and _shared(thing, worst) > 1e-9:
            found.append((thing, worst))
    return found


def _shared(thing: Thing, other: Thing) -> float:
    return min(thing.high, other.high) - max(thing.low, other.low)


def _meets(item: Item, top: Thing, names: dict[int, str], over: float) -> Finding:
    figures: dict[str, float | str] = {"what": item.kind, "on": top.item.kind, "over_mm": over}
    return _plain(Level.DECIDE, "wall-part-meets", names.get(item.section or 0, ""), figures)


def turned(turns: Iterable[Turn]) -> list[Finding]:
    """Threads that stop past their place."""
    return [
        _plain(
            Level.KNOW,
            "clocked",
            turn.behind,
            {
                "angle_deg": turn.angle_deg,
                "shim_mm": turn.shim_mm,
                "pitch_mm": turn.tube.given.pitch.mm if turn.tube.given.pitch else 0.0,
                "what": "switch" if turn.has_switch else "",
                "joint": float(turn.tube.given.key),
            },
        )
        for turn in turns
    ]


def _plain(level: Level, code: str, about: str, figures: dict[str, float | str]) -> Finding:
    return Finding(level, code, about, MappingProxyType(dict(figures)))
