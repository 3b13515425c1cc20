"""Every limit of the classing in one dated table, as it is shown to the person who packs.

Read in November 2026 in stored copies; where a source could not be read in its present edition,
its ``edition`` says as quoted by others ("2nd").
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from builds.engineering.lithium.contents import Carried, Cells, Chemistry, Mode, Unit

CHECKED_ON = date(2026, 11, 1)  # the month
CHARGE_RULE_FROM = date(2026, 1, 1)
OLD_MARK_UNTIL = date(2026, 12, 31)
ROUNDING = 1 + 1e-9  # 3.7 × 5.4 is no exact float


@dataclass(frozen=True)
class Limit:
    """A number of the rules: inclusive, and whose it is."""

    code: str
    value: float
    unit: str
    source: str
    edition: str
    checked_on: date = CHECKED_ON

    def holds(self, value: float) -> bool:
        """Whether a value keeps to it."""
        return value <= self.value * ROUNDING


_CFR = "as amended through December 2022, 2024 changes 2nd"
_IATA = "2026, 2nd"
_ALL = "49 CFR 173.185(c)(1); IATA PI 965 to 970; ADR SP 188; USPS Publication 52, 349"
_MARK = "49 CFR 173.185(c)(3); IATA PI 967, 970; ADR SP 188"
_PUB_52 = "USPS Publication 52, 349"
_ROWS = (
    Limit("ion-cell-wh", 20, "Wh", _ALL, _CFR),
    Limit("ion-battery-wh", 100, "Wh", _ALL, _CFR),
    Limit("metal-cell-g", 1, "g", _ALL, _CFR),
    Limit("metal-battery-g", 2, "g", _ALL, _CFR),
    Limit("road-ion-cell-wh", 60, "Wh", "49 CFR 173.185(c)(1)", _CFR),
    Limit("road-ion-battery-wh", 300, "Wh", "49 CFR 173.185(c)(1)", _CFR),
    Limit("loose-gross-kg", 30, "kg", "49 CFR 173.185(c)(1)(vii); ADR SP 188", _CFR),
    Limit("unmarked-cells", 4, "cells", _MARK, _CFR),
    Limit("unmarked-batteries", 2, "batteries", _MARK, _CFR),
    Limit("unmarked-packages", 2, "packages", _MARK, _CFR),
    Limit("mark-side-mm", 100, "mm", "49 CFR 173.185(c)(3)(i)", _CFR),
    Limit("mark-small-side-mm", 70, "mm", "49 CFR 173.185(c)(3)(i)", _CFR),
    Limit("mark-hatching-mm", 5, "mm", "49 CFR 173.185(c)(3)(i)", _CFR),
    Limit("air-net-kg", 5, "kg", "IATA PI 966, 967, 969, 970", _IATA),
    Limit("air-charge-percent", 30, "%", "IATA PI 966, from 2026-01-01", _IATA),
    Limit("air-charge-from-wh", 2.7, "Wh", "IATA PI 966, from 2026-01-01", _IATA),
    Limit("air-spares", 2, "beside those needed", "IATA PI 966, 969", _IATA),
    Limit("usps-cells", 8, "cells", _PUB_52, "2nd"),
    Limit("usps-batteries", 2, "batteries", _PUB_52, "2nd"),
    Limit("usps-loose-lb", 5, "lb", _PUB_52, "2nd"),
    Limit("abroad-cells", 4, "cells", "USPS IMM 135.6", "2012, 2026 2nd"),
    Limit("abroad-batteries", 2, "batteries", "USPS IMM 135.6", "2012, 2026 2nd"),
)
LIMITS: Mapping[str, Limit] = MappingProxyType({row.code: row for row in _ROWS})


def energy(cells: Cells) -> tuple[float | None, str]:
    """How much is in each, and the code of the limit on it: watt-hours, or grams of lithium."""
    kind = "battery" if cells.unit is Unit.BATTERY else "cell"
    if cells.chemistry is Chemistry.METAL:
        return cells.lithium_g, f"metal-{kind}-g"
    return cells.watt_hours, f"ion-{kind}-wh"


def road_limit(cells: Cells) -> Limit | None:
    """The wider limit on US roads and rails, which there is for ion alone."""
    return LIMITS.get(f"road-{energy(cells)[1]}")


def within(items: tuple[Cells, ...], cells_code: str, batteries_code: str) -> bool:
    """Whether so many cells or so many batteries are not passed; mixed ones share the room."""
    most_cells, most_batteries = LIMITS[cells_code].value, LIMITS[batteries_code].value
    batteries = sum(item.count or 0 for item in items if item.unit is Unit.BATTERY)
    cells = sum(item.count or 0 for item in items if item.unit is not Unit.BATTERY)
    return cells * most_batteries + batteries * most_cells <= most_cells * most_batteries


def looked_at(items: tuple[Cells, ...], mode: Mode, marked: bool) -> tuple[Limit, ...]:
    """The limits that a parcel was held against, in the order of the table."""
    codes = {code for item in items for code in _codes(item, mode)}
    codes |= {code for code in LIMITS if marked and code.startswith("mark-")}
    return tuple(limit for code, limit in LIMITS.items() if code in codes)


def _codes(item: Cells, mode: Mode) -> Iterator[str]:
    yield energy(item)[1]
    if mode is Mode.US_GROUND and road_limit(item):
        yield f"road-{energy(item)[1]}"
    if item.way is Carried.INSTALLED and mode is not Mode.USPS_ABROAD:
        yield from ("unmarked-cells", "unmarked-batteries", "unmarked-packages")
    if item.way is Carried.LOOSE and mode in (Mode.US_GROUND, Mode.ADR_ROAD):
        yield "loose-gross-kg"
    if mode is Mode.AIR:
        yield "air-net-kg"
        if item.way is Carried.PACKED_WITH:
            yield from ("air-charge-percent", "air-charge-from-wh", "air-spares")
    if mode is Mode.USPS_ABROAD:
        yield from ("abroad-cells", "abroad-batteries", "unmarked-packages")
    if mode in (Mode.USPS_DOMESTIC_AIR, Mode.USPS_DOMESTIC_SURFACE):
        yield from ("usps-cells", "usps-batteries")
        if item.way is Carried.LOOSE:
            yield "usps-loose-lb"
