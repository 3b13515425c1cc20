"""Lithium cells: their names, sizes, energy, and how long they last."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import ceil, inf
from types import MappingProxyType

from builds.engineering.given import NOISE, counted, fraction, not_negative, positive

HOURS_A_MONTH = 730.0
# Battery University, self-discharge: shares of the capacity.
LOST_IN_FIRST_DAY = 0.05
LOST_PER_MONTH = (0.01, 0.02)
LOST_PER_MONTH_TO_PROTECTION = 0.03


class System(StrEnum):
    """What the negative electrode is of: the first letter of the designation."""

    ION = "ion"
    METAL = "metal"


class Chemistry(StrEnum):
    """What the positive electrode is of: the second letter (F and others from memory)."""

    COBALT = "cobalt"
    NICKEL = "nickel"
    MANGANESE = "manganese"
    VANADIUM = "vanadium"
    TITANIUM = "titanium"
    IRON_PHOSPHATE = "iron phosphate"


class Shape(StrEnum):
    """The third letter."""

    ROUND = "round"
    PRISMATIC = "prismatic"


class Body(StrEnum):
    """Whether a protection board is shrunk to the end of the cell."""

    BARE = "bare"
    PROTECTED = "protected"


SYSTEMS = {"I": System.ION, "L": System.METAL}
CHEMISTRIES = {
    "C": Chemistry.COBALT, "N": Chemistry.NICKEL, "M": Chemistry.MANGANESE,
    "V": Chemistry.VANADIUM, "T": Chemistry.TITANIUM, "F": Chemistry.IRON_PHOSPHATE,
}  # fmt: skip


@dataclass(frozen=True)
class Named:
    """What a designation says. A round cell has a diameter, a prismatic one width, thickness."""

    shape: Shape
    length_mm: float
    diameter_mm: float | None = None
    thickness_mm: float | None = None
    width_mm: float | None = None
    system: System | None = None
    chemistry: Chemistry | None = None
    series: int = 1
    parallel: int = 1

    @property
    def count(self) -> int:
        """Cells in the pack."""
        return self.series * self.parallel


@dataclass(frozen=True)
class Envelope:
    """The room that a cell of a size may take, for fitting it."""

    diameter_mm: float
    length_mm: float
    source: str = "chosen from published maxima, no standard"


ENVELOPES: Mapping[tuple[str, Body], Envelope] = MappingProxyType({
    ("18650", Body.BARE): Envelope(18.6, 65.5),
    ("18650", Body.PROTECTED): Envelope(19.1, 70.0),
    ("21700", Body.BARE): Envelope(21.9, 71.2),
    ("18350", Body.BARE): Envelope(18.6, 36.0),
    ("14500", Body.BARE): Envelope(14.5, 50.5),
})  # fmt: skip

_PACK = r"(?P<series>[1-9][0-9]{0,2})?"
_LETTERS = r"(?P<system>[IL])(?P<chemistry>[CNMVTF])"
_TWIN = r"(?:-(?P<parallel>[1-9][0-9]{0,2}))?"
_SIZE = r"T?[0-9]{1,3}"
_RUN_ON = r"(?P<d>[0-9]{2})(?P<tenths>[0-9]{3})"
_ROUND = re.compile(rf"{_PACK}{_LETTERS}R(?P<d>{_SIZE})/(?P<h>{_SIZE}){_TWIN}")
_FLAT = re.compile(rf"{_PACK}{_LETTERS}P(?P<t>{_SIZE})/(?P<w>{_SIZE})/(?P<h>{_SIZE}){_TWIN}")
_OLD_FLAT = re.compile(
    rf"{_PACK}{_LETTERS}P(?P<t>[0-9]{{2}})(?P<w>[0-9]{{2}})(?P<h>[0-9]{{2}}){_TWIN}"
)
_OLD_ROUND = re.compile(rf"{_PACK}{_LETTERS}R{_RUN_ON}{_TWIN}")
_TRADE = re.compile(_RUN_ON)
_SIZES = re.compile(rf"(?P<d>{_SIZE})/(?P<h>{_SIZE})")
_GRAMMARS = (_ROUND, _FLAT, _OLD_FLAT, _OLD_ROUND, _TRADE, _SIZES)


def decode(designation: str) -> Named:
    """What a cell's or a pack's name says.

    IEC 61960 clause 5.1, as quoted in public: N1 A1 A2 A3 N2/N3/N4-N5 is cells in series, letters
    of system, positive electrode and shape, greatest sizes in whole mm (a t before one: tenths of
    a mm, from memory), strings in parallel. Older names run the sizes together (ICP103450).
    Trade names (batteries18650.com): 18650 is 18 mm by 65.0 mm, the last three digits tenths.

    :raises ValueError: where it follows neither.
    """
    text = designation.replace(" ", "").upper()
    for grammar in _GRAMMARS:
        if found := grammar.fullmatch(text):
            return _named(found.groupdict(), designation)
    raise ValueError(
        f"“{designation}” is no cell name that the tool reads: write it like INR19/66,"
        " 4ICR19/66-2, ICP10/34/50 or 18650."
    )


def _named(part: Mapping[str, str | None], designation: str) -> Named:
    length = _tenths(part["tenths"]) if part.get("tenths") else _size(part["h"])
    diameter, thickness, width = (_size(part.get(key)) for key in ("d", "t", "w"))
    if 0.0 in (diameter, thickness, width, length) or length is None:
        raise ValueError(f"“{designation}” names a cell without size: no measure may be 0.")
    system, chemistry = part.get("system"), part.get("chemistry")
    return Named(
        shape=Shape.PRISMATIC if thickness else Shape.ROUND,
        length_mm=length,
        diameter_mm=diameter,
        thickness_mm=thickness,
        width_mm=width,
        system=SYSTEMS[system] if system else None,
        chemistry=CHEMISTRIES[chemistry] if chemistry else None,
        series=int(part.get("series") or 1),
        parallel=int(part.get("parallel") or 1),
    )


def _tenths(text: str | None) -> float:
    return int(text or 0) / 10


def _size(text: str | None) -> float | None:
    if text is None:
        return None
    return _tenths(text[1:]) if text.startswith("T") else float(text)


def encode(
    diameter_mm: float,
    length_mm: float,
    chemistry: Chemistry | None = None,
    series: int = 1,
    parallel: int = 1,
    system: System = System.ION,
) -> str:
    """The designation of a round cell or pack, its greatest sizes rounded up to whole mm.

    Source: IEC 61960 clause 5.1, as quoted in public. Without a chemistry: the sizes alone.
    """
    sizes = f"{_up(diameter_mm, 'The diameter')}/{_up(length_mm, 'The length')}"
    if chemistry is None:
        return sizes
    return _pack(f"{_letters(system, chemistry)}R{sizes}", series, parallel)


def encode_prismatic(
    thickness_mm: float,
    width_mm: float,
    length_mm: float,
    chemistry: Chemistry,
    series: int = 1,
    parallel: int = 1,
    system: System = System.ION,
) -> str:
    """The designation of a prismatic cell or pack, its greatest sizes rounded up to whole mm.

    Source: IEC 61960 clause 5.1, as quoted in public.
    """
    named = {"The thickness": thickness_mm, "The width": width_mm, "The length": length_mm}
    sizes = "/".join(_up(size, what) for what, size in named.items())
    return _pack(f"{_letters(system, chemistry)}P{sizes}", series, parallel)


def _up(size_mm: float, what: str) -> str:
    size = positive(size_mm, f"{what} in mm") * (1 - NOISE)
    tenths = ceil(size * 10)
    return f"t{tenths}" if tenths < 10 else str(ceil(size))


def _letters(system: System, chemistry: Chemistry) -> str:
    first = {name: letter for letter, name in SYSTEMS.items()}
    second = {name: letter for letter, name in CHEMISTRIES.items()}
    if chemistry not in second or system not in first:
        raise ValueError(
            f"The tool knows no cells of {system}, {chemistry}: choose one of {', '.join(second)}."
        )
    return first[system] + second[chemistry]


def _pack(name: str, series: int, parallel: int) -> str:
    before = counted(series, "Cells in series")
    after = counted(parallel, "Strings in parallel")
    return f"{before if before > 1 else ''}{name}{f'-{after}' if after > 1 else ''}"


def envelope(size: str, body: Body = Body.BARE) -> Envelope:
    """The room to leave for a cell of a trade size. Source: chosen from published maxima.

    :raises ValueError: where none is kept for this size.
    """
    try:
        return ENVELOPES[size, body]
    except KeyError:
        raise ValueError(
            f"No greatest size is kept for a {body} {size} cell: measure the cell itself."
        ) from None


def energy_wh(millivolt: int, milliamp_hour: int) -> float:
    """Energy: Wh = mV × mAh / 1,000,000, on whole numbers, so that 20 Wh is 20 Wh.

    Source: definition of the watt-hour, as 49 CFR 173.185 counts it.
    """
    voltage = counted(millivolt, "The voltage in mV")
    return voltage * counted(milliamp_hour, "The capacity in mAh") / 1_000_000


def rate_ma(capacity_mah: float, c: float) -> float:
    """The current that a C-rate stands for: I = c × capacity.

    Source: a cell's specification table (machineu.com): 0.2C of 2600 mAh is 520 mA.
    """
    return positive(capacity_mah, "The capacity in mAh") * not_negative(c, "The C-rate")


def runtime_h(capacity_mah: float, current_ma: float, usable: float = 1.0) -> float:
    """Hours at a steady current: capacity × usable share / current; without current, no end.

    Source: closed form; that some 80 % is usable is common practice, no source.
    """
    capacity = positive(capacity_mah, "The capacity in mAh") * fraction(usable, "The usable share")
    current = not_negative(current_ma, "The current in mA")
    return capacity / current if current else inf


def idle_days(capacity_mah: float, idle_ma: float, self_discharge_per_month: float = 0.0) -> float:
    """Days until a full cell is flat while the hilt sleeps, a month being 730 h.

    Days = capacity / (idle + capacity × self-discharge / 730) / 24. Source: closed form; the
    share lost a month is from Battery University, self-discharge (1 to 2 %).
    """
    share = fraction(self_discharge_per_month, "The self-discharge a month")
    lost_ma = positive(capacity_mah, "The capacity in mAh") * share / HOURS_A_MONTH
    return runtime_h(capacity_mah, not_negative(idle_ma, "The idle current in mA") + lost_ma) / 24
