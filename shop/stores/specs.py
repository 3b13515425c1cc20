"""What each kind of part is described by: names with their unit, what is asked, what is a rating.

A *rating* is a limit or a figure that sources may state differently: it stands in rows of its
own (``Rating``), each with its source, and the lower counts. The rest stands in ``Part.spec``.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import isfinite
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.stores.kinds import PartKind


class Unit(StrEnum):
    """The unit that a figure is kept in."""

    MM = "mm"
    G = "g"
    MA = "mA"
    MAH = "mAh"
    MV = "mV"
    MW = "mW"
    OHM = "Ω"
    PER_M = "1/m"
    PER_CENT = "%"
    AWG = "AWG"
    COUNT = ""
    CHOICE = "choice"
    TEXT = "text"


@dataclass(frozen=True)
class Quantity:
    """One figure of a spec. ``most`` is what no such part exceeds: a slipped digit is caught."""

    name: str
    label: Any  # a lazy text
    unit: Unit
    required: bool = False
    is_rating: bool = False
    least: float = 0.0
    most: float = 1e6
    choices: tuple[tuple[str, Any], ...] = ()
    hint: Any = ""


def _mm(name: str, label: Any, most: float = 400, **more: Any) -> Quantity:
    return Quantity(name, label, Unit.MM, most=most, **more)


def _ma(name: str, label: Any, most: float = 60_000, **more: Any) -> Quantity:
    return Quantity(name, label, Unit.MA, most=most, **more)


def _choice(name: str, label: Any, *choices: tuple[str, Any], **more: Any) -> Quantity:
    return Quantity(name, label, Unit.CHOICE, choices=choices, **more)


def _count(name: str, label: Any, most: float, **more: Any) -> Quantity:
    return Quantity(name, label, Unit.COUNT, most=most, **more)


t = gettext_lazy
_YES_NO = (("yes", t("yes")), ("no", t("no")))
_LENGTH = _mm("length_mm", t("length"), required=True)
_DIAMETER = _mm("diameter_mm", t("diameter"), most=60, required=True)
_MASS = Quantity(
    "mass_g", t("mass"), Unit.G, most=5000, hint=t("for what a parcel weighs before it is weighed")
)
_IDLE = _ma("idle_ma", t("current when idle"), most=500, hint=t("on, blade off"))
_FORWARD = Quantity("forward_mv", t("forward voltage"), Unit.MV, True, least=500, most=12_000)
_LIMIT = t("current at most")

SPECS: dict[str, tuple[Quantity, ...]] = {
    PartKind.CELL: (
        _DIAMETER,
        _LENGTH,
        _choice("protected", t("protection board on it"), *_YES_NO, required=True),
        _choice(
            "chemistry", t("chemistry"), ("ion", t("lithium ion")), ("metal", t("lithium metal")),
            ("none", t("no lithium")), required=True,
        ),
        Quantity("nominal_mv", t("nominal voltage"), Unit.MV, True, least=1000, most=30_000),
        Quantity("full_mv", t("voltage when full"), Unit.MV, least=1000, most=30_000),
        Quantity("capacity_mah", t("capacity"), Unit.MAH, True, True, most=50_000),
        _ma("max_current_ma", t("continuous current at most"), required=True, is_rating=True),
        _choice("test_summary", t("UN 38.3 test summary on file"), *_YES_NO,
                hint=t("the maker’s paper; a parcel with the cell asks for it")),
        _MASS,
    ),
    PartKind.BOARD: (
        _mm("width_mm", t("width"), most=60, required=True),
        _mm("height_mm", t("height with its parts"), most=30, required=True),
        _LENGTH,
        _ma("output_ma", t("output current at most"), required=True, is_rating=True),
        _ma("working_ma", t("current when working"), most=3000,
            hint=t("without blade and speaker")),
        _IDLE,
        _ma("sleep_ma", t("current when asleep"), most=100),
        Quantity("least_supply_mv", t("supply at least"), Unit.MV, least=1000, most=12_000),
        Quantity("speaker_mw", t("power to the speaker at most"), Unit.MW, most=20_000),
        _count("switches", t("switches it reads"), 8),
    ),
    PartKind.SPEAKER: (
        _DIAMETER,
        _mm("depth_mm", t("depth"), most=40, required=True),
        Quantity("ohm", t("resistance"), Unit.OHM, True, least=1, most=64),
        Quantity("power_mw", t("power at most"), Unit.MW, True, True, most=20_000),
    ),
    PartKind.STRIP: (
        Quantity("pixels_per_m", t("pixels a metre"), Unit.PER_M, True, most=500),
        _ma("channel_ma", t("current a colour, at most"), required=True, most=60,
            hint=t("for wiring")),
        _ma("channel_typical_ma", t("current a colour, typical"), most=60, hint=t("for runtime")),
        _ma("quiescent_ma", t("current a dark pixel takes"), most=5),
        _mm("width_mm", t("width"), most=30),
    ),
    PartKind.LED: (
        _FORWARD,
        _ma("current_ma", t("current at most"), required=True, is_rating=True),
        Quantity("colour", t("colour"), Unit.TEXT),
        _mm("diameter_mm", t("diameter with its base"), most=40),
    ),
    PartKind.SWITCH: (
        _mm("hole_mm", t("hole it wants"), most=30, required=True),
        _mm("body_mm", t("width of its body"), most=30, required=True),
        _mm("depth_mm", t("depth behind the wall"), most=40, required=True),
        _choice("latching", t("stays in"), *_YES_NO),
        _ma("current_ma", _LIMIT, is_rating=True),
    ),
    PartKind.ACCENT: (
        _count("pixels", t("pixels"), 200, hint=t("0 for plain LEDs")),
        Quantity("forward_mv", t("forward voltage"), Unit.MV, least=500, most=12_000),
        _ma("current_ma", t("current at full light"), required=True, most=3000),
        _mm("diameter_mm", t("diameter"), most=40),
        _mm("length_mm", t("length")),
    ),
    PartKind.BLADE: (
        _DIAMETER,
        _mm("length_mm", t("length"), most=2000, required=True),
        _mm("wall_mm", t("wall"), most=6),
        _choice("lit_by", t("lit by"), ("pixels", t("pixels in it")),
                ("hilt", t("an LED in the hilt")), required=True),
        _count("pixels", t("pixels, both sides together, counted"), 1000),
        _ma("channel_ma", t("current a colour, at most"), most=60, hint=t("for wiring")),
        _ma("channel_typical_ma", t("current a colour, typical"), most=60, hint=t("for runtime")),
        _ma("quiescent_ma", t("current a dark pixel takes"), most=5),
        _MASS,
    ),
    PartKind.PROTECTION: (
        _choice("type", t("kind of protection"), ("fuse", t("fuse")),
                ("resettable", t("resettable fuse")), ("board", t("protection board")),
                required=True),
        _ma("hold_ma", t("current it lets by for good"), required=True, is_rating=True),
        _mm("length_mm", t("length")),
    ),
    PartKind.CONNECTOR: (
        _mm("diameter_mm", t("diameter"), most=60),
        _mm("length_mm", t("length")),
        _count("pins", t("pins"), 20),
        _ma("current_ma", _LIMIT, required=True, is_rating=True),
    ),
    PartKind.PORT: (
        _mm("width_mm", t("width of its slot"), most=40, required=True),
        _mm("height_mm", t("height of its slot"), most=40, required=True),
        _mm("depth_mm", t("depth behind the wall"), most=60),
        _ma("charge_ma", t("charging current"), most=10_000, is_rating=True),
    ),
    PartKind.WIRE: (
        Quantity("gauge", t("gauge"), Unit.AWG, True, least=-3, most=40),
        _mm("outer_mm", t("outside diameter with its cover"), most=20),
        _count("strands", t("strands"), 1000),
    ),
    PartKind.SCREW: (
        Quantity("thread", t("thread"), Unit.TEXT, True, hint=t("as in M4 × 0.7")),
        _LENGTH,
        Quantity("key", t("key it wants"), Unit.TEXT),
    ),
    PartKind.CHASSIS: (
        _DIAMETER,
        _LENGTH,
        _choice("removable", t("comes out again"), *_YES_NO),
        _mm("cell_bay_mm", t("diameter of its cell bay"), most=60),
    ),
    PartKind.BOX: (
        _mm("inner_length_mm", t("inside length"), most=3000, required=True),
        _mm("inner_width_mm", t("inside width"), most=2000, required=True),
        _mm("inner_height_mm", t("inside height"), most=2000, required=True),
        _mm("outer_length_mm", t("outside length"), most=3000),
        _mm("outer_width_mm", t("outside width"), most=2000),
        _mm("outer_height_mm", t("outside height"), most=2000),
        Quantity("mass_g", t("mass with its padding"), Unit.G, True, most=20_000),
        Quantity("load_g", t("bears at most"), Unit.G, most=70_000),
    ),
    PartKind.OTHER: (
        _mm("diameter_mm", t("diameter"), most=60),
        _mm("width_mm", t("width"), most=60),
        _mm("height_mm", t("height"), most=60),
        _mm("length_mm", t("length")),
    ),
}  # fmt: skip
IN_WORDS = {Unit.CHOICE, Unit.TEXT}


def quantities(kind: str) -> tuple[Quantity, ...]:
    """What a kind is described by, in the order in which forms ask."""
    return SPECS[kind]


def ratings(kind: str) -> tuple[Quantity, ...]:
    """Those that sources may state differently."""
    return tuple(each for each in SPECS[kind] if each.is_rating)


def problems(kind: str, spec: Mapping[str, Any]) -> dict[str, str]:
    """Name → what is wrong with it, in words; for a spec without its ratings."""
    known = {each.name: each for each in SPECS[kind] if not each.is_rating}
    found = {name: _("This kind of part has no such figure.") for name in spec.keys() - known}
    for name, quantity in known.items():
        why = problem(quantity, spec.get(name))
        if why:
            found[name] = why
    return found


def problem(quantity: Quantity, value: Any) -> str:
    """What is wrong with a value of a quantity, in words; empty where nothing is."""
    if value in (None, ""):
        return _("This is needed.") if quantity.required else ""
    if quantity.unit == Unit.CHOICE:
        return "" if value in dict(quantity.choices) else _("Choose one of the list.")
    if quantity.unit == Unit.TEXT:
        return "" if isinstance(value, str) and len(value) <= 60 else _("At most 60 letters.")
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        return _("Type a number.")
    if not quantity.least <= value <= quantity.most:
        return _("Type a number from %(least)g to %(most)g %(unit)s.") % {
            "least": quantity.least,
            "most": quantity.most,
            "unit": quantity.unit,
        }
    if quantity.unit == Unit.MM and value == 0:
        return _("Type a number above 0.")
    return ""
