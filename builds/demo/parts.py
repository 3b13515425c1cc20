"""The stores of the demo shop: parts with invented plain names, what is stated of them, stock."""

from dataclasses import dataclass, field
from typing import Any

from builds.demo.days import Days, token
from builds.demo.house import Crew
from shop.stores.actions.parts import add_part, state_rating
from shop.stores.actions.stock import count, receive, write_off
from shop.stores.kinds import Counted, PartKind
from shop.stores.models import Part, StockLevel

SHEET = "data sheet"
WRITTEN = 58  # working days ago


@dataclass(frozen=True)
class Kept:
    """A part as the shop keeps it: what came, so many working days ago, and what one cost."""

    kind: PartKind
    name: str
    spec: dict[str, Any]
    stated: dict[str, float] = field(default_factory=dict)
    came: tuple[tuple[int, int], ...] = ()
    cost: int = 0
    counted: Counted = Counted.PIECE


def _box(name: str, inner: tuple[int, int, int], grams: int, came: int, cost: int) -> Kept:
    sides = dict(zip(("length", "width", "height"), inner, strict=True))
    spec: dict[str, Any] = {f"inner_{side}_mm": mm for side, mm in sides.items()}
    spec |= {f"outer_{side}_mm": mm + 8 for side, mm in sides.items()}
    return Kept(PartKind.BOX, name, {**spec, "mass_g": grams}, {}, ((54, came),), cost)


_CELL = {"protected": "yes", "chemistry": "ion", "nominal_mv": 3600, "full_mv": 4200}
PARTS = (
    Kept(
        PartKind.CELL, "Cell 18 × 65, protected", {**_CELL, "diameter_mm": 18.5, "length_mm": 68.5,
        "mass_g": 49, "test_summary": "yes"},
        {"capacity_mah": 3000, "max_current_ma": 15_000}, ((56, 11), (20, 10)), 720,
    ),
    Kept(
        PartKind.CELL, "Cell 21 × 70, bare", {**_CELL, "protected": "no", "diameter_mm": 21.5,
        "length_mm": 70.2, "mass_g": 69, "test_summary": "yes"},
        {"capacity_mah": 4000, "max_current_ma": 15_000}, ((56, 6),), 910,
    ),
    Kept(
        PartKind.CELL, "Cell 14 × 50, protected", {**_CELL, "diameter_mm": 14.3, "length_mm": 52.4},
        {"capacity_mah": 800, "max_current_ma": 2400}, ((44, 4),), 560,
    ),
    Kept(
        PartKind.BOARD, "Sound board 18 × 3", {"width_mm": 18, "height_mm": 3, "length_mm": 42,
        "working_ma": 60, "idle_ma": 12, "sleep_ma": 0.4, "switches": 2}, {"output_ma": 10_000},
        ((55, 9),), 6400,
    ),
    Kept(
        PartKind.BOARD, "Sound board 22.5 × 3.2", {"width_mm": 22.5, "height_mm": 3.2,
        "length_mm": 46, "working_ma": 70, "idle_ma": 14, "sleep_ma": 0.6, "switches": 3},
        {"output_ma": 15_000}, ((55, 3),), 8900,
    ),
    Kept(
        PartKind.BOARD, "Sound board 22.5 × 1.6", {"width_mm": 22.5, "height_mm": 1.6,
        "length_mm": 44, "working_ma": 55, "idle_ma": 9, "sleep_ma": 0.4, "switches": 2},
        {"output_ma": 8000},
        (), 7200,
    ),
    Kept(
        PartKind.BOARD, "Sound board, one switch, 2 A out", {"width_mm": 15, "height_mm": 4.2,
        "length_mm": 31, "working_ma": 40, "idle_ma": 8, "sleep_ma": 0.4, "switches": 1,
        "least_supply_mv": 3300}, {"output_ma": 2000}, ((48, 3),), 3100,
    ),
    Kept(
        PartKind.SPEAKER, "Speaker 24", {"diameter_mm": 24, "depth_mm": 9.5, "ohm": 4},
        {"power_mw": 3000}, ((56, 13),), 390,
    ),
    Kept(
        PartKind.SPEAKER, "Speaker 28", {"diameter_mm": 28, "depth_mm": 8.4, "ohm": 8},
        {"power_mw": 2000}, ((56, 2),), 430,
    ),
    Kept(
        PartKind.STRIP, "Strip, 144 a metre, 10 wide", {"pixels_per_m": 144, "width_mm": 10,
        "channel_ma": 16, "channel_typical_ma": 12, "quiescent_ma": 0.7}, {}, ((50, 5000),), 1450,
        Counted.MM,
    ),
    Kept(
        PartKind.LED, "Single LED, white, on a star", {"forward_mv": 3200, "colour": "white",
        "diameter_mm": 20}, {"current_ma": 1000}, ((40, 5),), 260,
    ),
    Kept(
        PartKind.SWITCH, "Panel switch 12", {"hole_mm": 12, "body_mm": 12, "depth_mm": 7,
        "latching": "no"}, {"current_ma": 200}, ((56, 17),), 180,
    ),
    Kept(
        PartKind.SWITCH, "Panel switch 16, ring lit", {"hole_mm": 16, "body_mm": 18,
        "depth_mm": 21, "latching": "no"}, {"current_ma": 2000}, ((33, 4),), 520,
    ),
    Kept(
        PartKind.ACCENT, "Accent, one pixel", {"pixels": 1, "current_ma": 48, "diameter_mm": 8},
        {}, ((30, 20),), 45,
    ),
    Kept(
        PartKind.BLADE, "Pixel blade 25.4, 92 cm", {"diameter_mm": 25.4, "length_mm": 920,
        "wall_mm": 2, "lit_by": "pixels", "pixels": 264, "channel_ma": 12,
        "channel_typical_ma": 7, "quiescent_ma": 0.6, "mass_g": 310}, {}, ((52, 7),), 5200,
    ),
    Kept(
        PartKind.PROTECTION, "Resettable fuse, 5 A", {"type": "resettable", "length_mm": 9},
        {"hold_ma": 5000}, ((50, 20),), 60,
    ),
    Kept(
        PartKind.CONNECTOR, "Blade connector, seven pins", {"diameter_mm": 15, "length_mm": 8,
        "pins": 7}, {"current_ma": 12_000}, ((52, 8),), 1150,
    ),
    Kept(
        PartKind.PORT, "Charge port, USB-C, panel", {"width_mm": 9.2, "height_mm": 4.45,
        "depth_mm": 11}, {"charge_ma": 1000}, ((36, 5),), 340,
    ),
    Kept(
        PartKind.WIRE, "Wire 22 AWG, red, soft cover", {"gauge": 22, "outer_mm": 1.7,
        "strands": 60}, {}, ((50, 15_000),), 85, Counted.MM,
    ),
    Kept(
        PartKind.WIRE, "Wire 28 AWG, six colours", {"gauge": 28, "outer_mm": 1.2, "strands": 16},
        {}, ((50, 30_000),), 40, Counted.MM,
    ),
    Kept(
        PartKind.SCREW, "Retention screw 8-32, 6 mm", {"thread": "8-32", "length_mm": 6.35,
        "key": "5/64 in"}, {}, ((56, 50),), 12,
    ),
    _box("Box, 400 × 120 × 120", (400, 120, 120), 250, 20, 95),
    _box("Box, 500 × 200 × 140", (500, 200, 140), 420, 8, 140),
    _box("Long box, 1000 × 180 × 120", (1000, 180, 120), 720, 14, 310),
    _box("Long box, 1200 × 200 × 150", (1200, 200, 150), 930, 5, 380),
)  # fmt: skip
# More that other sources state: the lower is used.
ALSO_STATED = (
    ("Cell 21 × 70, bare", "max_current_ma", 8000.0, "a published chart of tests"),
    ("Speaker 24", "power_mw", 2500.0, "measured at the bench"),
)


# What the owner of a hilt leaves alone, for his booklet.
CARE = {
    "Sound board 18 × 3": "Do not press on the card or the glass of the switches, and pull at no "
    "wire. The card stays in.",
    "Sound board 22.5 × 3.2": "Do not bend it and do not pull at a wire. The card stays in.",
    "Speaker 24": "Nothing pointed near its cone; keep iron filings off its magnet.",
    "Speaker 28": "Nothing pointed near its cone; keep iron filings off its magnet.",
    "Blade connector, seven pins": "Do not bend the pins. Wipe them dry, never with oil.",
    "Panel switch 12": "Do not turn its ring: the thread is held by a drop of lacquer.",
}


def stock_up(crew: Crew, days: Days) -> None:
    """Write the parts down, say what others state of them, and let stock come and go."""
    parts = {kept.name: _write(kept, crew, days) for kept in PARTS}
    for name, quantity, value, source in ALSO_STATED:
        then = days.back(WRITTEN - 4, 16, 20)
        state_rating(parts[name].pk, quantity, value, source, by=crew.oda, now=then)
    _lose(parts["Speaker 28"], 2, "both hum when warm", 12, crew, days)
    _lose(parts["Panel switch 12"], 1, "cap lost behind the bench", 9, crew, days)
    _count(parts["Retention screw 8-32, 6 mm"], 47, crew, days)


def _write(kept: Kept, crew: Crew, days: Days) -> Part:
    fields: dict[str, Any] = {
        "name": kept.name, "counted": kept.counted, "cost_minor": kept.cost or None,
        "care": CARE.get(kept.name, ""),
    }  # fmt: skip
    if kept.cost:
        fields["price_minor"] = kept.cost * 8 // 5
    part = add_part(
        kept.kind, fields, spec=kept.spec, stated=kept.stated, source=SHEET,
        token=token("part", kept.name), by=crew.oda, now=days.back(WRITTEN, 15, 5),
    )  # fmt: skip
    for ago, quantity in kept.came:
        receive(
            part, quantity, token=token("came", kept.name, ago), by=crew.jory,
            now=days.back(ago, 11, 30), cost_minor=kept.cost, reason="counted in",
        )  # fmt: skip
    return part


def _lose(part: Part, many: int, why: str, ago: int, crew: Crew, days: Days) -> None:
    mark = token("lost", part.name)
    write_off(part, many, reason=why, token=mark, by=crew.jory, now=days.back(ago, 14, 10))


def _count(part: Part, there: int, crew: Crew, days: Days) -> None:
    seen = StockLevel.objects.get(part=part).on_hand
    mark, then = token("counted", part.name), days.back(5, 17, 5)
    count(part, there, seen=seen, token=mark, by=crew.jory, now=then, reason="shelf counted")
