"""What is in a parcel and how it travels. Nothing, where it is not known: then it is missing."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from builds.engineering.given import not_negative, positive

Choice = TypeVar("Choice", bound=StrEnum)


class Chemistry(StrEnum):
    """What is in the cell."""

    ION = "ion"  # rechargeable
    METAL = "metal"  # not rechargeable
    NONE = "none"  # no lithium


class Unit(StrEnum):
    """What counts as one. A single cell stays a cell with a protection board on it."""

    CELL = "cell"
    BATTERY = "battery"  # cells joined; a pack that the shop welds is a new type
    BUTTON = "button"


class Carried(StrEnum):
    """Where the cells are."""

    INSTALLED = "installed"  # in the equipment
    PACKED_WITH = "packed-with"  # beside the equipment, in the same package
    LOOSE = "loose"


class Mode(StrEnum):
    """By which way a parcel travels."""

    US_GROUND = "us-ground"
    ADR_ROAD = "adr-road"
    AIR = "air"
    USPS_DOMESTIC_AIR = "usps-domestic-air"
    USPS_DOMESTIC_SURFACE = "usps-domestic-surface"
    USPS_ABROAD = "usps-abroad"


class Verdict(StrEnum):
    """What becomes of a parcel; further down weighs more."""

    ALLOWED = "allowed"
    MISSING_DATA = "missing-data"
    REFUSED_HERE = "refused-here"  # others may, with training and papers; this tool does not
    FORBIDDEN = "forbidden"


@dataclass(frozen=True)
class Cells:
    """Like cells in one package; ``watt_hours`` and ``lithium_g`` are those of each.

    ``needed`` is how many the equipment wants of them, 0 where it has its own inside;
    ``charger_only`` means that there is no equipment beside them but their charger, which makes
    them loose.
    """

    chemistry: Chemistry | None
    unit: Unit | None = None
    count: int | None = None
    watt_hours: float | None = None
    lithium_g: float | None = None
    carried: Carried | None = None
    needed: int | None = None
    charge_percent: float | None = None
    test_summary: bool | None = True
    charger_only: bool = False

    def __post_init__(self) -> None:
        """Refuse what cannot be.

        :raises ValueError: where a word is not known, or a number is impossible.
        """
        for name, kind in (("chemistry", Chemistry), ("unit", Unit), ("carried", Carried)):
            value = getattr(self, name)
            if value is not None:
                # Words may come as plain text, as from a form.
                object.__setattr__(self, name, one_of(kind, value, f"The word for “{name}”"))
        _whole(self.count, "The number of cells")
        _whole(self.needed, "The number of cells that the equipment runs on", least=0)
        if self.watt_hours is not None:
            positive(self.watt_hours, "The watt-hours of each")
        if self.lithium_g is not None:
            positive(self.lithium_g, "The grams of lithium in each")
        charge = self.charge_percent
        if charge is not None and not 0 <= charge <= 100:
            raise ValueError(f"The charge must lie between 0 and 100 %, not {charge}.")

    @property
    def way(self) -> Carried | None:
        """How they are carried as the rules see it: a charger is no equipment."""
        return Carried.LOOSE if self.charger_only else self.carried


@dataclass(frozen=True)
class Parcel:
    """Packages alike that go to one consignee together; weights are those of one package.

    ``net_kg`` is the weight of its cells alone, ``used`` whether the equipment was used or
    repaired, ``damaged`` whether a cell in it is damaged, defective or recalled.
    """

    items: tuple[Cells, ...]
    packages: int = 1
    gross_kg: float | None = None
    used: bool | None = True
    damaged: bool | None = False
    net_kg: float | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be.

        :raises ValueError: where it holds nothing, or a number is impossible.
        """
        if not self.items:
            raise ValueError("Say what is in the parcel; without lithium the chemistry is “none”.")
        _whole(self.packages, "The number of packages")
        if self.gross_kg is not None:
            positive(self.gross_kg, "The gross weight in kg")
        if self.net_kg is not None:
            not_negative(self.net_kg, "The weight of the cells in kg")
            if self.gross_kg is not None and self.net_kg > self.gross_kg:
                raise ValueError(
                    f"The cells ({self.net_kg:g} kg) weigh more than the package "
                    f"({self.gross_kg:g} kg)."
                )

    @property
    def lithium(self) -> tuple[Cells, ...]:
        """What has lithium in it, or may have."""
        return tuple(item for item in self.items if item.chemistry is not Chemistry.NONE)


def one_of(kind: type[Choice], value: str, what: str) -> Choice:
    """The choice that a word stands for.

    :raises ValueError: where it stands for none.
    """
    if value not in list(kind):
        raise ValueError(f"{what} must be one of {', '.join(kind)}, not {value!r}.")
    return kind(value)


def _whole(count: float | None, what: str, least: int = 1) -> None:
    if count is not None and (count != count or count < least or count != int(min(count, 10**9))):
        raise ValueError(f"{what} must be a whole number, {least} or more, not {count}.")
