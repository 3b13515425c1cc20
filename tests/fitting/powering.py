"""Builds with a cell, a board, a blade, wires and slots, made through the rooms' own actions."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import uuid4

from builds.fitting.actions.parts import plan_part
from builds.fitting.actions.wires import Wire, list_wire
from builds.progress.models import Build
from builds.sounds.actions import add_slot, cap_brightness
from shop.models import Part, User
from shop.stores.actions.parts import add_part, state_rating

Kept = tuple[Mapping[str, Any], Mapping[str, float]]
CELL: Kept = (
    {"diameter_mm": 18.5, "length_mm": 65.2, "protected": "no", "chemistry": "ion",
     "nominal_mv": 3600, "full_mv": 4200},
    {"capacity_mah": 3000, "max_current_ma": 15_000},
)  # fmt: skip
BOARD: Kept = (
    {"width_mm": 18, "height_mm": 5, "length_mm": 48, "working_ma": 80, "idle_ma": 12,
     "sleep_ma": 0.5, "speaker_mw": 3000, "switches": 2},
    {"output_ma": 10_000},
)  # fmt: skip
BLADE: Kept = (
    {"diameter_mm": 25.4, "length_mm": 914, "lit_by": "pixels", "pixels": 264, "channel_ma": 12,
     "channel_typical_ma": 10, "quiescent_ma": 0.6},
    {},
)  # fmt: skip
SPEAKER: Kept = ({"diameter_mm": 28, "depth_mm": 5, "ohm": 8}, {"power_mw": 2000})
CONNECTOR: Kept = ({"diameter_mm": 22, "length_mm": 6, "pins": 3}, {"current_ma": 9000})
ACCENT: Kept = ({"pixels": 0, "forward_mv": 3200}, {})


def make(kind: str, kept: Kept, by: User, now: datetime, name: str = "", **spec: Any) -> Part:
    """A part with figures; ``spec`` changes some of them, None takes one away."""
    described, stated = kept
    own = {key: value for key, value in spec.items() if key not in stated}
    said = {**stated, **{key: value for key, value in spec.items() if key in stated}}
    full = {key: value for key, value in {**described, **own}.items() if value is not None}
    return add_part(
        kind, {"name": name or f"{kind} as tried"}, spec=full,
        stated={key: value for key, value in said.items() if value is not None},
        source="maker's sheet", token=uuid4(), by=by, now=now,
    )  # fmt: skip


def put(build: Build, part: Part, by: User, now: datetime, quantity: int = 1) -> None:
    """Put a part on the list of a build."""
    plan_part(build, part, quantity, section=None, token=uuid4(), by=by, now=now)


def slot(
    build: Build, place: int, name: str, colour: str, by: User, now: datetime, look: str = "steady"
) -> None:
    """Put a slot on the card."""
    values = {"place": place, "name": name, "colour": colour, "look": look}
    add_slot(build.pk, values, token=uuid4(), by=by, now=now)


def wire(
    build: Build, starts: str, ends: str, carries: str, by: User, now: datetime,
    gauge: int = 22, length_mm: int = 120, parallel: int = 1,
) -> None:  # fmt: skip
    """Put a wire on the list."""
    run = Wire(starts, ends, carries, gauge, length_mm, parallel=parallel)
    list_wire(build, run, token=uuid4(), by=by, now=now)


def powered(build: Build, by: User, now: datetime, **blade: Any) -> Build:
    """A build whose cell carries its slots: red and blue, at 60 %."""
    for kind, kept in (("cell", CELL), ("board", BOARD), ("speaker", SPEAKER),
                       ("connector", CONNECTOR)):  # fmt: skip
        put(build, make(kind, kept, by, now), by, now)
    put(build, make("blade", BLADE, by, now, **blade), by, now)
    wire(build, "cell", "board", "all", by, now, gauge=18)
    wire(build, "board", "blade", "blade", by, now, gauge=22, length_mm=60, parallel=2)
    slot(build, 1, "Ember", "#ff0000", by, now, "flickering")
    slot(build, 2, "Frost", "#00ffff", by, now)
    cap_brightness(build.pk, 60, seen=100, by=by, now=now)
    return build


__all__ = ["make", "powered", "put", "slot", "state_rating", "wire"]
