"""What the current passes: ratings of parts in its way, and the wires of the list."""

from collections.abc import Iterable

from builds.engineering.power import Rating, Run
from builds.fitting.loads.values import Chosen, Given, Lack, Wants, Wired
from shop.stores.kinds import PartKind

# Kind → the figure that limits it, and what passes it: "all", or the lights alone.
_RATED = {
    PartKind.CONNECTOR: ("current_ma", "blade"),
    PartKind.PROTECTION: ("hold_ma", "all"),
    PartKind.BOARD: ("output_ma", "lights"),
    PartKind.SWITCH: ("current_ma", "all"),
}
IN_BLADE, ALL = "blade", "all"


def rated(wants: Wants) -> list[tuple[Chosen, Given, str]]:
    """Parts that the current passes, each with its limit and what passes it.

    A switch only where it stays in: one that springs back carries no more than a signal.
    """
    found = []
    for part in wants.parts:
        name, passes = _RATED.get(PartKind(part.kind), ("", ""))
        limit = part.given(name) if name else None
        springs = part.kind == PartKind.SWITCH and part.word("latching") != "yes"
        if limit is not None and not springs:
            found.append((part, limit, passes))
    return found


def ratings(wants: Wants, fed: dict[str, list[str]]) -> list[Rating]:
    """The ratings as the sums take them; what nothing passes is left out."""
    passing = {**fed, "lights": [*fed.get("blade", []), *fed.get("accents", [])]}
    made = []
    for part, limit, passes in rated(wants):
        if passes == ALL or passing.get(passes):
            carries = () if passes == ALL else tuple(passing[passes])
            made.append(Rating(part.name, limit.value / 1000, limit.source, carries=carries))
    return made


def runs(wires: Iterable[Wired], fed: dict[str, list[str]]) -> tuple[list[Run], list[Lack]]:
    """The wires as the sums take them, those that carry everything first."""
    made, lacks = [], []
    for wire in sorted(wires, key=lambda wire: wire.carries != ALL):
        if wire.carries in {"signal", "charge"}:
            continue
        if not wire.length_mm:
            lacks.append(Lack("wire-without-length", wire.name))
        if wire.carries != ALL and not fed.get(wire.carries):
            lacks.append(Lack(f"wire-feeds-no-{wire.carries}", wire.name))
            continue
        carries = () if wire.carries == ALL else tuple(fed[wire.carries])
        made.append(_run(wire, carries))
    return made, lacks


def _run(wire: Wired, carries: tuple[str, ...] = ()) -> Run:
    return Run(wire.name, wire.gauge, wire.length_mm / 1000, carries, wire.parallel)


def charging(wants: Wants) -> tuple[list[Run], Given | None, list[Lack]]:
    """The wires that charge, the current through them, and what is missing."""
    wires = [_run(wire) for wire in wants.wires if wire.carries == "charge"]
    port = wants.first(PartKind.PORT)
    current = port.given("charge_ma") if port else None
    if wires and current is None:
        about = port.name if port else ""
        return [], None, [Lack("charge-unknown", about, False, port.stores if port else None)]
    return wires, current, []
