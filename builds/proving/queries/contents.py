"""What a build contains, as the sheet asks it: which lines are for it, and its own figures."""

from collections.abc import Sequence
from dataclasses import dataclass

from builds.fitting.models import BuildPart, Chassis
from builds.fitting.queries.findings import Found, findings_of
from builds.fitting.queries.listed import listed
from builds.hilts.queries import shapes
from builds.intake.models import CellResult
from builds.intake.queries import facts
from builds.progress.models import Build
from builds.progress.states import Kind
from builds.proving.states import Sheet, Wants
from builds.sounds.queries import slots_of
from builds.teardown.models import DepthTried
from builds.teardown.queries import apart
from shop.house.models import House
from shop.stores.kinds import PartKind

_BY_KIND = {
    PartKind.CELL: Wants.CELL,
    PartKind.BLADE: Wants.BLADE,
    PartKind.STRIP: Wants.PIXELS,
    PartKind.SPEAKER: Wants.SPEAKER,
    PartKind.SWITCH: Wants.SWITCH,
    PartKind.BOARD: Wants.SWITCH,
    PartKind.PORT: Wants.PORT,
}
# A hilt that comes for a repair, with no part of ours on a list: what it usually has.
_USUAL = frozenset({Wants.CELL, Wants.SPEAKER, Wants.SWITCH})


@dataclass(frozen=True)
class Contents:
    """One build as its sheet is made from it."""

    build: Build
    has: frozenset[str]
    shop: House
    found: Found
    slots: int = 0
    depth: DepthTried | None = None
    pixels: int | None = None

    def asks(self, wants: str) -> bool:
        """Whether a line that wants something is for this build."""
        return wants == Wants.ANY or wants in self.has


def sheet_of(build: Build) -> Sheet:
    """Which sheet a kind of job is tested by, unless somebody asks for the full one."""
    short = {Kind.REPAIR: Sheet.SHORT, Kind.WARRANTY: Sheet.SHORT, Kind.BLADE: Sheet.BLADE}
    return short.get(Kind(build.kind), Sheet.FULL)


def contents(build: Build, shop: House) -> Contents:
    """All that the sheet of a build is made from."""
    parts, slots = listed([build.pk]).get(build.pk, []), slots_of([build.pk])[build.pk]
    found = findings_of([build], shop)[build.pk]
    has = {Wants.CARD} if slots else set[Wants]()
    if build.hilt is None:
        has |= _of_a_blade(build)
    else:
        has |= _of_parts(parts) | _of_a_hilt(build, bool(parts))
        if found.plan and found.plan.chassis == Chassis.REMOVABLE:
            has.add(Wants.REMOVABLE)
    if found.judged.strip:
        has.add(Wants.PIXELS)
    return Contents(
        build=build,
        has=frozenset(has),
        shop=shop,
        found=found,
        slots=len(slots),
        depth=apart(build).depth if build.hilt else None,
        pixels=_pixels(build, found),
    )


def _of_parts(parts: Sequence[BuildPart]) -> set[Wants]:
    return {_BY_KIND[PartKind(part.kind)] for part in parts if part.kind in _BY_KIND}


def _of_a_hilt(build: Build, has_list: bool) -> set[Wants]:
    if build.hilt is None:
        return set()
    shape, cell = shapes([build.hilt])[build.hilt.pk], facts([build.pk])[build.pk].cell
    has = {Wants.HILT} | ({Wants.BLADE} if shape.socket else set())
    if not has_list:
        has |= _USUAL
    if build.blade_id:
        has.add(Wants.BLADE)  # the one that goes home with it: it seats, and it holds
    if cell and cell.result != CellResult.NONE:
        has.add(Wants.CELL)
    return has


def _of_a_blade(build: Build) -> set[Wants]:
    # Nobody wrote its pixels down: it is looked at as if it had some.
    blade = build.blade
    is_dark = blade is not None and blade.pixels == 0
    has = {Wants.BLADE, Wants.ALONE} | (set() if is_dark else {Wants.PIXELS})
    return has | ({Wants.TRIED} if blade and blade.tried_in_id else set())


def _pixels(build: Build, found: Found) -> int | None:
    if build.blade and build.blade.pixels:
        return build.blade.pixels
    return int(found.judged.strip.pixels.value) if found.judged.strip else None
