"""Parts that most shops have, with typical figures: each says where its figures come from.

They are guesses until somebody measures or reads a data sheet, and are shown as guesses.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext_lazy as t

from shop.stores.kinds import Counted, PartKind

PRACTICE = t("common practice, no source")
MEMORY = t("from memory, unchecked")
MAXIMA = t("size chosen from published maxima of such cells, not a standard")
TRADES = t("published figures of such cells, no source kept: current is traded for capacity")
PIXELS = t("pixel data sheets: 12 to 20 mA a colour by version; 20 for wiring, 12 for runtime")
COUNTED = t("144 a metre by length; count the real blade, tip and connector take some")
PORT = t("published size of the slot, no source kept; current from memory, unchecked")
WIRE = t("gauge by its standard; thickness of a soft cover from memory, unchecked")
LED = t("the values of published worked examples, no source kept")
BOX = t("common practice, no source: measure the box that you have")
KEY = t("published as the commonest, no source kept")


@dataclass(frozen=True)
class Typical:
    """A part as it is written down for a shop that has none."""

    kind: PartKind
    name: Any
    spec: Mapping[str, Any]
    source: Any
    stated: Mapping[str, float] = field(default_factory=dict)
    counted: Counted = Counted.PIECE
    stated_by: Any = ""  # where that is another source


def _cell(name: Any, d: float, length: float, mah: float, ma: float, stated_by: Any,
          protected: str = "no") -> Typical:  # fmt: skip
    spec = {
        "diameter_mm": d, "length_mm": length, "protected": protected, "chemistry": "ion",
        "nominal_mv": 3600.0, "full_mv": 4200.0,
    }  # fmt: skip
    stated = {"capacity_mah": mah, "max_current_ma": ma}
    return Typical(PartKind.CELL, name, spec, MAXIMA, stated, stated_by=stated_by)


def _speaker(name: Any, d: float, depth: float, ohm: float, mw: float) -> Typical:
    spec = {"diameter_mm": d, "depth_mm": depth, "ohm": ohm}
    return Typical(PartKind.SPEAKER, name, spec, MEMORY, {"power_mw": mw})


def _switch(name: Any, hole: float, body: float, depth: float, ma: float,
            latching: str = "no") -> Typical:  # fmt: skip
    spec = {"hole_mm": hole, "body_mm": body, "depth_mm": depth, "latching": latching}
    return Typical(PartKind.SWITCH, name, spec, MEMORY, {"current_ma": ma})


def _wire(name: Any, gauge: int, outer: float) -> Typical:
    spec = {"gauge": float(gauge), "outer_mm": outer}
    return Typical(PartKind.WIRE, name, spec, WIRE, counted=Counted.MM)


def _pixel_blade(name: Any, d: float, length: float, pixels: int) -> Typical:
    spec = {
        "diameter_mm": d, "length_mm": length, "wall_mm": 1.6, "lit_by": "pixels",
        "pixels": float(pixels), "channel_ma": 20.0, "channel_typical_ma": 12.0,
        "quiescent_ma": 1.0,
    }  # fmt: skip
    return Typical(PartKind.BLADE, name, spec, COUNTED)


def _hollow_blade(name: Any, d: float, length: float) -> Typical:
    spec = {"diameter_mm": d, "length_mm": length, "wall_mm": 1.6, "lit_by": "hilt"}
    return Typical(PartKind.BLADE, name, spec, PRACTICE)


def _guard(name: Any, kind: str, ma: float) -> Typical:
    return Typical(PartKind.PROTECTION, name, {"type": kind}, MEMORY, {"hold_ma": ma})


def _connector(name: Any, pins: int, ma: float) -> Typical:
    return Typical(PartKind.CONNECTOR, name, {"pins": float(pins)}, MEMORY, {"current_ma": ma})


def _screw(name: Any, thread: str, length: float, key: str, source: Any) -> Typical:
    spec = {"thread": thread, "length_mm": length, "key": key}
    return Typical(PartKind.SCREW, name, spec, source)


def _box(name: Any, inner: tuple[float, float, float], wall: float, mass: float) -> Typical:
    spec = {"mass_g": mass}
    for side, length in zip(("length", "width", "height"), inner, strict=True):
        spec[f"inner_{side}_mm"] = length
        spec[f"outer_{side}_mm"] = length + wall
    return Typical(PartKind.BOX, name, spec, BOX)


def _led(name: Any, colour: Any, mv: float, ma: float, d: float) -> Typical:
    spec = {"forward_mv": mv, "colour": colour, "diameter_mm": d}
    return Typical(PartKind.LED, name, spec, LED, {"current_ma": ma})


TYPICAL: tuple[Typical, ...] = (
    _cell(t("cell 18650, bare, high current"), 18.6, 65.5, 2100, 30_000, TRADES),
    _cell(t("cell 18650, bare, high capacity"), 18.6, 65.5, 3500, 8000, TRADES),
    _cell(t("cell 18650, protected"), 19.1, 70.0, 3500, 8000, TRADES, "yes"),
    _cell(t("cell 21700, bare"), 21.9, 71.2, 4000, 15_000, MEMORY),
    _cell(t("cell 18350, bare"), 18.6, 36.0, 1100, 8000, MEMORY),
    _cell(t("cell 14500, bare"), 14.5, 50.5, 750, 2200, MEMORY),
    _speaker(t("speaker 20 mm, 8 Ω"), 20, 5, 8, 1000),
    _speaker(t("speaker 24 mm, 8 Ω"), 24, 7, 8, 2000),
    _speaker(t("speaker 28 mm, 8 Ω"), 28, 8, 8, 3000),
    _speaker(t("speaker 28 mm, 4 Ω"), 28, 8, 4, 3000),
    Typical(
        PartKind.STRIP,
        t("pixel strip, 144 a metre"),
        {
            "pixels_per_m": 144.0, "channel_ma": 20.0, "channel_typical_ma": 12.0,
            "quiescent_ma": 1.0,
        },
        PIXELS,
        counted=Counted.MM,
    ),
    _led(t("LED 5 mm, red"), t("red"), 2000, 20, 5),
    _led(t("LED 5 mm, green"), t("green"), 3200, 20, 5),
    _led(t("LED 5 mm, blue"), t("blue"), 3200, 20, 5),
    _led(t("LED 5 mm, white"), t("white"), 3200, 20, 5),
    _led(t("LED on a star base, white, 1 A"), t("white"), 3200, 1000, 20),
    _switch(t("switch 12 mm, springs back"), 12, 14, 18, 1000),
    _switch(t("switch 12 mm, stays in"), 12, 14, 18, 1000, "yes"),
    _switch(t("switch 16 mm, springs back"), 16, 18, 22, 2000),
    _switch(t("tactile switch 6 × 6 mm"), 3.5, 6, 5, 50),
    Typical(PartKind.ACCENT, t("accent, one pixel"), {"pixels": 1.0, "current_ma": 60.0}, PIXELS),
    Typical(
        PartKind.ACCENT,
        t("accent, plain LED 3 mm"),
        {"pixels": 0.0, "forward_mv": 2000.0, "current_ma": 20.0, "diameter_mm": 3.0},
        LED,
    ),
    _pixel_blade(t("pixel blade 1 in, 32 in long"), 25.4, 812.8, 234),
    _pixel_blade(t("pixel blade 1 in, 36 in long"), 25.4, 914.4, 264),
    _pixel_blade(t("pixel blade 7/8 in, 32 in long"), 22.2, 812.8, 234),
    _pixel_blade(t("pixel blade 7/8 in, 36 in long"), 22.2, 914.4, 264),
    _hollow_blade(t("hollow blade 1 in, 32 in long"), 25.4, 812.8),
    _hollow_blade(t("hollow blade 1 in, 36 in long"), 25.4, 914.4),
    _hollow_blade(t("hollow blade 7/8 in, 32 in long"), 22.2, 812.8),
    _hollow_blade(t("hollow blade 3/4 in, 32 in long"), 19.05, 812.8),
    _guard(t("fuse, 10 A"), "fuse", 10_000),
    _guard(t("resettable fuse, 3 A"), "resettable", 3000),
    _guard(t("resettable fuse, 5 A"), "resettable", 5000),
    _guard(t("protection board, one cell, 10 A"), "board", 10_000),
    _connector(t("connector, 2 pins, 3 A"), 2, 3000),
    _connector(t("connector, 3 pins, 3 A"), 3, 3000),
    _connector(t("blade connector, spring pins, 5 A"), 3, 5000),
    Typical(
        PartKind.PORT,
        t("charge port, USB-C"),
        {"width_mm": 9.2, "height_mm": 4.45},
        PORT,
        {"charge_ma": 1000.0},
    ),
    Typical(
        PartKind.PORT,
        t("charge port, round, 2.1 mm"),
        {"width_mm": 8.0, "height_mm": 8.0},
        MEMORY,
        {"charge_ma": 1000.0},
    ),
    _wire(t("wire 18 AWG"), 18, 2.3),
    _wire(t("wire 20 AWG"), 20, 1.8),
    _wire(t("wire 22 AWG"), 22, 1.7),
    _wire(t("wire 24 AWG"), 24, 1.6),
    _wire(t("wire 26 AWG"), 26, 1.5),
    _wire(t("wire 28 AWG"), 28, 1.2),
    _wire(t("wire 30 AWG"), 30, 0.8),
    _screw(t("retention screw 8-32, 3/16 in"), "8-32", 4.76, "5/64 in", KEY),
    _screw(t("retention screw 8-32, 1/4 in"), "8-32", 6.35, "5/64 in", KEY),
    _screw(t("retention screw M4, 5 mm"), "M4 × 0.7", 5.0, "2 mm", MEMORY),
    _screw(t("retention screw M3, 4 mm"), "M3 × 0.5", 4.0, "1.5 mm", MEMORY),
    _box(t("box for a hilt, 400 × 120 × 120"), (400, 120, 120), 6, 260),
    _box(t("box for two hilts, 400 × 220 × 140"), (400, 220, 140), 6, 380),
    _box(t("long box for hilt and blade, 1000 × 180 × 120"), (1000, 180, 120), 10, 720),
    _box(t("long box for two blades, 1100 × 200 × 140"), (1100, 200, 140), 10, 850),
)  # fmt: skip
