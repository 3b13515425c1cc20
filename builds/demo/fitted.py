"""Fits the demo's parts: kits, what is reserved and in the hilts, serials, wires cut to length."""

from dataclasses import replace
from datetime import datetime, timedelta
from uuid import UUID

from builds.demo.days import token
from builds.fitting.actions.kits import plan_kit
from builds.fitting.actions.parts import fit_part, plan_own, plan_part, reserve_part, swap
from builds.fitting.actions.taking_off import take_off
from builds.fitting.actions.wires import change_wire, cut_wire, list_wire, list_wires
from builds.fitting.models import BuildPart, Carries, WireRun
from builds.fitting.queries.listed import parts_of
from builds.fitting.queries.wiring import wires_of, wiring
from builds.fitting.states import WITH_SERIAL
from builds.fitting.values import Wire
from builds.progress.models import Build
from builds.progress.states import Kind, State
from shop.people.models import User
from shop.stores.actions.kits import add_kit, put_in_kit, set_minutes
from shop.stores.kinds import PartKind
from shop.stores.models import Kit, Part

TWO_SWITCHES, ONE_SWITCH = "Pixel blade, two switches", "One switch, single LED"
# Kit → note, parts, minutes a stage.
KITS: dict[str, tuple[str, dict[str, int], dict[str, int]]] = {
    TWO_SWITCHES: (
        "Removable chassis. Count the pixels of the real blade.",
        {
            "Cell 18 × 65, protected": 1, "Sound board 18 × 3": 1, "Speaker 24": 1,
            "Blade connector, seven pins": 1, "Panel switch 12": 2, "Charge port, USB-C, panel": 1,
            "Pixel blade 25.4, 92 cm": 1, "Resettable fuse, 5 A": 1,
            "Wire 22 AWG, red, soft cover": 900, "Wire 28 AWG, six colours": 1600,
        },
        {"intake": 45, "teardown": 120, "install": 480, "test": 90, "dispatch": 40},
    ),
    ONE_SWITCH: (
        "Fixed chassis, light from the hilt.",
        {
            "Cell 18 × 65, protected": 1, "Sound board, one switch, 2 A out": 1, "Speaker 24": 1,
            "Single LED, white, on a star": 1, "Panel switch 12": 1,
        },
        {"intake": 45, "teardown": 60, "install": 200, "test": 60, "dispatch": 40},
    ),
}  # fmt: skip
# What repairs put in.
REPAIRS = {
    "Bell Rope": "Speaker 24", "Osier": "Panel switch 12",
    "Small Hours": "Charge port, USB-C, panel",
}  # fmt: skip
FROM_A_KIT = {"Kestrel first"}
NO_BOARD = {"Long Quiet": "Sound board 22.5 × 1.6"}  # it waits for that one
OWN_BLADE = "Saltmarsh No. 3"
BLADE = {
    "diameter_mm": 25.4, "length_mm": 920.0, "wall_mm": 2.0, "lit_by": "pixels", "pixels": 264.0,
    "channel_ma": 20.0, "channel_typical_ma": 12.0, "quiescent_ma": 1.0,
}  # fmt: skip
ROLLS = {22: "Wire 22 AWG, red, soft cover", 28: "Wire 28 AWG, six colours"}
_A_MINUTE = timedelta(minutes=1)


def kits(by: User, now: datetime) -> None:
    """Make the shop's kits."""
    for name, (note, parts, minutes) in KITS.items():
        kit = add_kit(name, note, token=token("kit", name), by=by, now=now)
        for part, quantity in parts.items():
            put_in_kit(kit.pk, Part.objects.get(name=part), quantity, by=by, now=now)
        set_minutes(kit.pk, minutes, by=by, now=now)


def chosen(build: Build, by: User, now: datetime) -> None:
    """Put a kit on the list of a build that has not been opened yet."""
    if build.hilt and build.hilt.name in FROM_A_KIT:
        kit = Kit.objects.get(name=TWO_SWITCHES)
        plan_kit(build, kit, token=_mark(build, "kit"), by=by, now=now)


def through(build: Build, by: User, now: datetime) -> None:
    """Fit all of a build's parts, and cut its wires, before it goes to the test."""
    name = build.hilt.name if build.hilt else ""
    if name in REPAIRS and build.kind in {Kind.REPAIR, Kind.WARRANTY}:
        new = Part.objects.get(name=REPAIRS[name])
        worn = parts_of([build.pk]).filter(part=new, fitted_at__isnull=False).first()
        if worn:
            mark = _mark(build, "worn")
            take_off(worn, "worn", whole=0, token=mark, by=by, now=now)
        section = worn.section if worn else None
        plan_part(build, new, 1, section=section, token=_mark(build, new), by=by, now=now)
    for part in parts_of([build.pk]).filter(fitted_at=None):
        now = _fit(part, by, now + 2 * _A_MINUTE)
    for run in [] if build.wires.exists() else _wired(build, by, now):
        now += 3 * _A_MINUTE
        cut_wire(run, token=_mark(build, "cut", run.pk), by=by, now=now)


def begun(build: Build, by: User, now: datetime) -> None:
    """Leave a build halfway: some parts in, some reserved, one that the stores lack."""
    build.refresh_from_db()
    name = build.hilt.name if build.hilt else ""
    if name == OWN_BLADE:
        _own_blade(build, by, now)
    for place, part in enumerate(parts_of([build.pk])):
        now += 4 * _A_MINUTE
        if part.kind == PartKind.BOARD and name in NO_BOARD:
            other = Part.objects.get(name=NO_BOARD[name])
            swap(part, other, token=_mark(build, "swap"), by=by, now=now)
        elif build.started_at and place < 3:
            _fit(part, by, now)
        elif part.part and part.kind != PartKind.SPEAKER:
            reserve_part(part, token=_mark(build, "reserve", part.pk), by=by, now=now)
    for run in _wired(build, by, now)[:2]:
        cut_wire(run, token=_mark(build, "cut", run.pk), by=by, now=now + 9 * _A_MINUTE)


def _own_blade(build: Build, by: User, now: datetime) -> None:
    """The customer's own blade in the place of the shop's."""
    thing = build.belongings.filter(what__startswith="blade,").first()
    shops = parts_of([build.pk]).filter(kind=PartKind.BLADE).first()
    if thing is None:
        return
    if shops:
        take_off(shops, "their own blade stays", token=_mark(build, "off"), by=by, now=now)
    plan_own(
        build, thing, PartKind.BLADE, BLADE, section=None, token=_mark(build, "own"), by=by, now=now
    )


def _fit(part: BuildPart, by: User, now: datetime) -> datetime:
    mark = _mark(part.build, "fit", part.pk)
    serial = f"LW {part.build.number:02d}-{part.pk:04d}" if part.kind in WITH_SERIAL else ""
    fit_part(part, serial=serial, token=mark, by=by, now=now)
    return now


def _wired(build: Build, by: User, now: datetime) -> list[WireRun]:
    """The usual wires, measured at the bench; the data wire of a blade beside them."""
    proposed = [_thick_enough(wire) for wire in wiring(build, "mm").usual.wires]
    runs = list_wires(build, proposed, token=_mark(build, "wires"), by=by, now=now)
    if not runs:
        return []
    for place, (run, wire) in enumerate(zip(runs, proposed, strict=True)):
        if build.state == State.INSTALL and place % 3 < 2:  # the others stay guesses
            measured = _measured(wire, 4 * place + 6)
            change_wire(run, measured, by=by, now=now + 5 * _A_MINUTE)
    if any(run.carries == "blade" for run in runs):
        data = Wire("sound board", "blade connector", "signal", 28, 150, colour="green")
        list_wire(build, data, token=_mark(build, "data"), by=by, now=now + 6 * _A_MINUTE)
    return list(wires_of(build))


def _thick_enough(wire: Wire) -> Wire:
    """The usual wire, thicker or doubled where all of a blade's current passes it."""
    if wire.carries == Carries.ALL:
        return replace(wire, gauge=18)
    return replace(wire, parallel=2) if wire.carries == Carries.BLADE else wire


def _measured(wire: Wire, more: int) -> Wire:
    # Of the rolls at hand the thinnest that is no thinner than what was proposed.
    gauge = max((kept for kept in ROLLS if kept <= wire.gauge), default=wire.gauge)
    part = Part.objects.filter(name=ROLLS[gauge]).first() if gauge in ROLLS else None
    colour = "any" if gauge == 28 else "red, black"
    length = wire.length_mm + more
    return replace(wire, length_mm=length, is_guess=False, colour=colour, part=part, gauge=gauge)


def _mark(build: Build, *what: object) -> UUID:
    return token("fitted", build.number, *what)
