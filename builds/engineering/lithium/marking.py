"""Whether the lithium battery mark stands on the package, which words, and why."""

from collections.abc import Iterator
from enum import StrEnum

from builds.engineering.lithium.contents import Carried, Chemistry, Mode, Parcel, Unit
from builds.engineering.lithium.limits import LIMITS, energy, road_limit, within
from builds.engineering.lithium.sentences import Sentence

PASSENGER = "LITHIUM {} BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD PASSENGER AIRCRAFT"
ROAD_ONLY = "LITHIUM BATTERIES—FORBIDDEN FOR TRANSPORT ABOARD AIRCRAFT AND VESSEL"
USED = ("Restricted Electronic Device", "Surface Transportation Only")


class Mark(StrEnum):
    """What is to be done about the mark."""

    REQUIRED = "required"
    NONE = "none"
    FORBIDDEN = "forbidden"


def mark(parcel: Parcel, mode: Mode) -> tuple[Mark, Sentence]:
    """Whether the mark is needed, and why."""
    items = parcel.lithium
    cells, batteries = LIMITS["unmarked-cells"], LIMITS["unmarked-batteries"]
    packages = LIMITS["unmarked-packages"]
    most = {"cells": cells.value, "batteries": batteries.value}
    if not items:
        return Mark.NONE, Sentence("no-lithium")
    if mode is Mode.USPS_ABROAD:
        return Mark.FORBIDDEN, Sentence("no-mark-abroad")
    if any(item.way is not Carried.INSTALLED for item in items):
        return Mark.REQUIRED, Sentence("mark-not-installed")
    if all(item.unit is Unit.BUTTON for item in items):
        return Mark.NONE, Sentence("no-mark-buttons")
    if not within(items, cells.code, batteries.code):
        return Mark.REQUIRED, Sentence("mark-too-many", **most)
    if not packages.holds(parcel.packages):
        return Mark.REQUIRED, Sentence("mark-packages", limit=packages.value)
    return Mark.NONE, Sentence("no-mark-few", packages=packages.value, **most)


def texts(parcel: Parcel, mode: Mode) -> tuple[str, ...]:
    """The words that stand on the package beside the mark, letter by letter."""
    return tuple(dict.fromkeys(_texts(parcel, mode)))


def _texts(parcel: Parcel, mode: Mode) -> Iterator[str]:
    for item in parcel.lithium:
        if mode in (Mode.US_GROUND, Mode.USPS_DOMESTIC_SURFACE) and item.way is Carried.LOOSE:
            yield PASSENGER.format("METAL" if item.chemistry is Chemistry.METAL else "ION")
        amount, code = energy(item)
        wider = mode is Mode.US_GROUND and road_limit(item)
        if wider and amount is not None and not LIMITS[code].holds(amount):
            yield ROAD_ONLY
        if mode is Mode.USPS_DOMESTIC_SURFACE and parcel.used and item.way is not Carried.LOOSE:
            yield from USED
