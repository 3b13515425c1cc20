"""What is missing before a fit can be told, in the order in which it is met."""

from collections.abc import Iterable, Sequence

from builds.fitting.layout.values import Item, Lack, Stretch


def lacks_of(
    stretches: Sequence[Stretch], items: Sequence[Item], unplaced: Iterable[Item]
) -> tuple[Lack, ...]:
    """What has to be measured, chosen or placed."""
    return (*_measures(stretches, items), *_parts(items), *_places(items, unplaced))


def _measures(stretches: Sequence[Stretch], items: Sequence[Item]) -> list[Lack]:
    if not stretches:
        return [Lack("no-sections")]
    used = {item.section for item in items}
    lacks = [Lack("no-length", each.name, each.key) for each in stretches if each.length is None]
    # A bore is asked for where something goes; of the others it may stay unknown.
    lacks += [
        Lack("no-bore", each.name, each.key)
        for each in stretches
        if not each.bore and each.key in used
    ]
    if any(item.kind == "blade" for item in items):
        lacks += _socket(stretches)
    return lacks


def _socket(stretches: Sequence[Stretch]) -> list[Lack]:
    socket = next((each for each in stretches if each.holds_blade), None)
    if socket is None:
        return [Lack("no-socket", section=stretches[0].key)]
    lacks = [] if socket.socket_bore else [Lack("no-socket-bore", socket.name, socket.key)]
    return (
        lacks if socket.socket_depth else [*lacks, Lack("no-socket-depth", socket.name, socket.key)]
    )


def _parts(items: Sequence[Item]) -> list[Lack]:
    if not items:
        return [Lack("no-parts")]
    kinds = {item.kind for item in items}
    return [Lack(f"no-{kind}") for kind in ("cell", "board") if kind not in kinds]


def _places(items: Sequence[Item], unplaced: Iterable[Item]) -> list[Lack]:
    lacks = [Lack("not-placed", item.name) for item in unplaced]
    wants = {"cell", "board", "speaker"}
    lacks += [
        Lack("no-size", item.name)
        for item in items
        if item.kind in wants and not (item.is_sized and item.length_mm)
    ]
    return lacks
