"""Measures the demo's hilts and takes them apart, by the shapes that their pictures show."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from builds.demo.days import token
from builds.demo.shapes import BLACK, BRASS, SHAPES, STEEL, Section
from builds.fitting.actions.plan import choose_chassis
from builds.fitting.models import Chassis
from builds.hilts import actions as hilts
from builds.hilts.actions import Reading
from builds.hilts.models import Hilt, Step
from builds.hilts.models import Section as Kept
from builds.hilts.states import Basis, HoleFor, JointKind, MeasuredThing
from builds.progress.models import Build
from builds.progress.states import State
from builds.teardown import actions as teardown
from builds.teardown.actions import Try
from builds.teardown.models import Came, Inside, Means
from shop.people.models import User

# Told before anything was posted; and the long one, whose rings count as sections of their own.
TOLD = {
    "Cinder Lane": (
        Section("emitter", 50, 38, 38, STEEL), Section("grip", 150, 36, 36, BLACK),
        Section("pommel", 40, 38, 38, STEEL),
    ),
}  # fmt: skip
LONG = {
    "Long Quiet": (
        Section("emitter", 50, 34, 34, BLACK), Section("front ring", 8, 38, 38, STEEL),
        Section("body", 62, 35, 35, BLACK), Section("middle ring", 8, 38, 38, STEEL),
        Section("front grip", 66, 33, 33, BLACK), Section("back grip", 66, 33, 33, BLACK),
        Section("back ring", 6, 36, 36, BRASS), Section("pommel", 46, 35, 32, STEEL),
    ),
}  # fmt: skip
LIKE = {"Kestrel second": "Kestrel first"}
STUCK = "coupling"  # the section whose joint was seized
WALLS_MM = 6.4  # both walls together
_A_MINUTE = timedelta(minutes=1)


@dataclass
class Bench:
    """One build on the bench: who works, and the time, which goes on by a minute a deed."""

    build: Build
    hilt: Hilt
    by: User
    now: datetime

    def later(self, minutes: int = 1) -> datetime:
        """The next moment at which something is done."""
        self.now += minutes * _A_MINUTE
        return self.now

    def deed(self, *what: object) -> dict[str, Any]:
        """Token, person and moment of one deed."""
        mark = token("measures", self.build.number, *what)
        return {"token": mark, "by": self.by, "now": self.later()}


def told(build: Build, hilt: Hilt, by: User, now: datetime) -> None:
    """Write down what the customer told of a hilt before it came."""
    bench = Bench(build, hilt, by, now)
    if bench.hilt.name in LIKE:
        like = Hilt.objects.get(name=LIKE[bench.hilt.name])
        hilts.copy_shape(like, bench.hilt, **bench.deed("like"))
    elif sections_of(bench.hilt.name):
        _sections(bench, Basis.TOLD)


def measured(build: Build, hilt: Hilt, by: User, now: datetime) -> None:
    """Take a hilt apart and measure all of it."""
    if not sections_of(hilt.name):
        return
    bench = Bench(build, hilt, by, now)
    _out(bench)
    steps = list(hilt.steps.filter(ended_at=None))
    if not steps:  # else it was here before, and is known
        kept = _sections(bench, Basis.MEASURED)
        _holes(bench, kept)
        steps = _steps(bench, kept)
        _free(bench, kept)
    for step in steps:
        _do(teardown.tick_step, bench, "off", step.pk, True)
    _do(teardown.try_depth, bench, "depth", 40.0, "40 mm")
    choose_chassis(build, Chassis.REMOVABLE, by=bench.by, now=bench.later())


def begun(build: Build, hilt: Hilt, by: User, now: datetime) -> None:
    """Take a hilt apart as far as its stuck joint; what lies behind it is only told so far."""
    bench = Bench(build, hilt, by, now)
    _out(bench)
    kept = _sections(bench, Basis.MEASURED)
    _steps(bench, kept)
    _try(bench, kept, Try(Means.HANDS, 20, Came.HOLDS, words="two straps, no movement"))
    _try(bench, kept, Try(Means.SOLVENT, 35, Came.HOLDS, words="runs off: it is cured hard"))


def sections_of(name: str) -> Sequence[Section]:
    """The sections of a hilt, as its pictures show them."""
    if name in LONG or name in TOLD:
        return {**LONG, **TOLD}[name]
    return SHAPES[name].sections if name in SHAPES else ()


def is_stuck(name: str) -> bool:
    """Whether a hilt has a joint that does not move."""
    return STUCK in {section.name for section in sections_of(name)}


def _do(action: Callable[..., object], bench: Bench, what: str, *facts: object) -> None:
    action(bench.build.pk, *facts, **bench.deed(what, *facts))


def _out(bench: Bench) -> None:
    for what in Inside:
        _do(teardown.take_out, bench, "out", what, True)


def _sections(bench: Bench, basis: str) -> list[Kept]:
    shown = sections_of(bench.hilt.name)
    kept = []
    for place, section in enumerate(shown):
        made = hilts.add_section(
            bench.hilt,
            section.name,
            holds_blade=place == 0,
            blade_screw="8-32, 5/64 in key" if place == 0 else "",
            **bench.deed("section", place),
        )
        _measure(bench, made, _readings(section, place, basis), basis)
        kept.append(made)
    for section, row in zip(shown[:-1], kept[:-1], strict=True):
        _joint(bench, row, section.name, basis)
    return kept


def _readings(section: Section, place: int, basis: str) -> dict[str, Reading]:
    outer = min(section.start, section.end)
    bore = round(outer - WALLS_MM - 0.07 * place, 2)
    if outer < 31:  # a neck
        bore = round(14 + (outer - 24) * 0.8, 2)
    read_twice = basis == Basis.MEASURED
    second = round(bore + 0.04 + 0.02 * (place % 3), 2) if read_twice else None
    readings = {
        MeasuredThing.LENGTH: _mm(section.length, None, 0.1 if read_twice else None),
        MeasuredThing.OUTER: _mm(outer),
        MeasuredThing.BORE: _mm(bore, second, 0.05 if read_twice else None),
    }
    if place == 0 and read_twice:
        readings[MeasuredThing.SOCKET_BORE] = _mm(25.6, 25.65)
        readings[MeasuredThing.SOCKET_DEPTH] = _mm(42)
    return {str(thing.value): reading for thing, reading in readings.items()}


def _mm(value: float, second: float | None = None, tolerance: float | None = None) -> Reading:
    text = f"{value:g}" if second is None else f"{value:g} / {second:g}"
    return Reading(value, f"{text} mm", second, tolerance)


def _measure(bench: Bench, thing: hilts.Thing, readings: Mapping[str, Reading], basis: str) -> None:
    deed = bench.deed("measure", type(thing).__name__, thing.pk)
    hilts.measure(thing, readings, basis=basis, **deed)


def _joint(bench: Bench, section: Kept, name: str, basis: str) -> None:
    kind = JointKind.SET_SCREW if name in {"body", "front grip"} else JointKind.THREAD
    joint = hilts.set_joint(
        section.pk, kind=kind, stuck=False, note="", seen="none",
        **bench.deed("joint", section.pk),
    )  # fmt: skip
    if kind == JointKind.THREAD and basis == Basis.MEASURED:
        angle = 15 * section.position
        _measure(bench, joint, {"pitch": _mm(1.25), "clock": Reading(angle, f"{angle}°")}, basis)


def _holes(bench: Bench, kept: Sequence[Kept]) -> None:
    shape = SHAPES.get(bench.hilt.name)
    body = next((each for each in kept if each.name in {"body", "grip"}), kept[0])
    for number in range(shape.switches if shape else 1):
        _hole(bench, body, HoleFor.SWITCH, 12, 18 + 20 * number, 0)
    _hole(bench, kept[0], HoleFor.SCREW, 4.2, 20, 180)
    _hole(bench, kept[-1], HoleFor.PORT, 11.5, 14, 180)


def _hole(
    bench: Bench, section: Kept, what: str, diameter: float, front: float, around: int
) -> None:
    deed = bench.deed("hole", section.pk, what, front)
    hole = hilts.add_hole(section.pk, what=what, note="", **deed)
    readings = {
        "diameter": _mm(diameter),
        "from-front": _mm(front),
        "around": Reading(around, f"{around}°"),
    }
    _measure(bench, hole, readings, Basis.MEASURED)


def _steps(bench: Bench, kept: Sequence[Kept]) -> list[Step]:
    screw = _step(bench, "retention screw", "5/64 in key, snug", for_owner=True)
    pommel = _step(bench, kept[-1].name, "unscrew, about four turns", for_owner=True)
    holder = _step(bench, "chassis screw", "1.5 mm key, at the back", pommel, for_owner=True)
    emitter = _step(bench, kept[0].name, "unscrew; mind the lens", screw, for_owner=False)
    chassis = _step(bench, "chassis", "pull straight, no twist", holder, emitter, for_owner=True)
    return [screw, pommel, holder, emitter, chassis]


def _step(bench: Bench, words: str, how: str, *firsts: Step, for_owner: bool) -> Step:
    return hilts.add_step(
        bench.hilt, words=words, how=how, for_owner=for_owner, wants_heat=False,
        firsts=[first.pk for first in firsts],
        **bench.deed("step", words),
    )  # fmt: skip


def _try(bench: Bench, kept: Sequence[Kept], tried: Try) -> None:
    stuck = next((each for each in kept if each.name == STUCK), kept[0])
    bench.later(tried.minutes)
    _do(teardown.try_joint, bench, tried.means, stuck.joints.get(ended_at=None).pk, tried)


def _free(bench: Bench, kept: Sequence[Kept]) -> None:
    """Of some, the first joint did not move at once."""
    if bench.build.number % 4 == 0 and bench.build.state == State.TEARDOWN:
        _try(bench, kept, Try(Means.HANDS, 10, Came.HOLDS, words="strap slips"))
        _try(bench, kept, Try(Means.HANDS, 15, Came.LOOSE, words="rubber jaws, then by hand"))
