"""Chooses parts for the demo's hilts and places them: most fit, one board is a hair too wide."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from builds.demo.days import token
from builds.fitting.actions.parts import place, plan_part
from builds.fitting.models import BuildPart
from builds.hilts.models import Section
from builds.progress.models import Build
from builds.progress.states import Kind
from shop.people.models import User
from shop.stores.actions.parts import add_part
from shop.stores.actions.stock import receive
from shop.stores.kinds import PartKind
from shop.stores.models import Part

Spec = dict[str, Any]
_STATED = "as measured at the bench"


@dataclass(frozen=True)
class Kept:
    """A part that the demo's stores hold."""

    kind: str
    name: str
    spec: Spec
    stated: dict[str, float]
    on_hand: int


_CELL: Spec = {"protected": "yes", "chemistry": "ion", "nominal_mv": 3600, "full_mv": 4200}
PARTS = {
    "cell": Kept(
        PartKind.CELL, "Cell 18 × 65, protected", {**_CELL, "diameter_mm": 18.5, "length_mm": 68.5},
        {"capacity_mah": 3000, "max_current_ma": 15_000}, 14,
    ),
    "board": Kept(
        PartKind.BOARD, "Sound board 18 × 3", {"width_mm": 18, "height_mm": 3, "length_mm": 42,
        "working_ma": 60, "idle_ma": 12, "switches": 2}, {"output_ma": 10_000}, 6,
    ),
    "wide": Kept(
        PartKind.BOARD, "Sound board 22.5 × 3.2", {"width_mm": 22.5, "height_mm": 3.2,
        "length_mm": 46, "working_ma": 70, "idle_ma": 14, "switches": 3}, {"output_ma": 15_000}, 2,
    ),
    "flat": Kept(
        PartKind.BOARD, "Sound board 22.5 × 1.6", {"width_mm": 22.5, "height_mm": 1.6,
        "length_mm": 44, "working_ma": 55, "idle_ma": 9, "switches": 2}, {"output_ma": 8_000}, 0,
    ),
    "speaker": Kept(
        PartKind.SPEAKER, "Speaker 24", {"diameter_mm": 24, "depth_mm": 9.5, "ohm": 4},
        {"power_mw": 3000}, 9,
    ),
    "connector": Kept(
        PartKind.CONNECTOR, "Blade connector, seven pins", {"diameter_mm": 15, "length_mm": 8,
        "pins": 7}, {"current_ma": 12_000}, 5,
    ),
    "switch": Kept(
        PartKind.SWITCH, "Panel switch 12", {"hole_mm": 12, "body_mm": 12, "depth_mm": 7,
        "latching": "no"}, {"current_ma": 200}, 11,
    ),
    "blade": Kept(
        PartKind.BLADE, "Pixel blade 25.4, 92 cm", {"diameter_mm": 25.4, "length_mm": 920,
        "wall_mm": 2, "lit_by": "pixels", "pixels": 264, "channel_ma": 12,
        "channel_typical_ma": 7, "quiescent_ma": 0.6}, {}, 4,
    ),
}  # fmt: skip
TOO_WIDE = {"Brindle"}  # its board is the wide one


def planned(build: Build, by: User, now: datetime) -> None:
    """Put cell, board, speaker, connector and switches on the list, each in its section."""
    if build.kind not in {Kind.FULL, Kind.UPGRADE} or build.parts.exists() or not build.hilt:
        return
    sections = list(build.hilt.sections.filter(ended_at=None))
    if not sections:
        return
    plan = _Plan(build, by, now)
    grip = _named(sections, "grip", "front grip", "upper")
    body = _named(sections, "body", "grip")
    plan.put("blade", None)
    plan.put("connector", sections[0])
    cell = plan.put("cell", grip)
    plan.put("wide" if build.hilt.name in TOO_WIDE else "board", grip, on=cell)
    plan.put("switch", body)
    # The smallest pommel takes no speaker: there it sits in front of the cell.
    plan.put("speaker", body if build.hilt.name == "Small Hours" else sections[-1])


@dataclass
class _Plan:
    build: Build
    by: User
    now: datetime
    position: int = 0

    def put(self, key: str, section: Section | None, on: BuildPart | None = None) -> BuildPart:
        self.now += timedelta(minutes=1)
        self.position += 1
        part = _kept(key, self.by, self.now)
        mark = token("plan", self.build.number, key)
        row = plan_part(self.build, part, 1, section=section, token=mark, by=self.by, now=self.now)
        if section is None:
            return row
        return place(row, section, self.position, on, by=self.by, now=self.now)


def _named(sections: list[Section], *names: str) -> Section:
    by_name = {section.name: section for section in sections}
    return next((by_name[name] for name in names if name in by_name), sections[0])


def _kept(key: str, by: User, now: datetime) -> Part:
    kept = PARTS[key]
    there = Part.objects.filter(name=kept.name).first()
    if there:
        return there
    part = add_part(
        kept.kind, {"name": kept.name}, spec=kept.spec, stated=kept.stated, source=_STATED,
        token=token("kept", key), by=by, now=now,
    )  # fmt: skip
    if kept.on_hand:
        receive(part, kept.on_hand, token=token("stock", key), by=by, now=now, reason="counted in")
    return part


def in_stores(by: User, now: datetime) -> None:
    """Have all of them in the stores, chosen or not."""
    for key in PARTS:
        _kept(key, by, now)
