"""What a parcel weighs, really and by the rule of its service, and which of them counts."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel, Service
from builds.dispatch.queries.things import Sized
from builds.dispatch.states import Sides
from builds.engineering.lithium import dimensional_weight
from shop.web.figures import pointed

SIDES = ("length_mm", "width_mm", "height_mm")
MM_PER = {Sides.CM_KG: 10.0, Sides.IN_LB: 25.4}
G_PER = {Sides.CM_KG: 1000.0, Sides.IN_LB: 453.59237}  # the pound by its definition
_UNIT = {Sides.CM_KG: "kg", Sides.IN_LB: "lb"}


@dataclass(frozen=True)
class Weight:
    """The outside of a parcel and its weight: measured, else what is known of box and contents."""

    sides_mm: tuple[float | None, float | None, float | None]
    sides_measured: bool
    gross_g: int | None  # weighed, closed
    contents_g: float  # by what is known of what lies in it
    box_g: float | None
    lacks: Sequence[str]  # what is in it and has no mass
    dimensional_g: float | None
    dimensional: str  # as the service reckons it
    why_none: str

    @property
    def estimate_g(self) -> float | None:
        """What it may weigh; None where there is no box to go by."""
        return None if self.box_g is None else self.box_g + self.contents_g

    @property
    def real_g(self) -> float | None:
        """What it weighs, or may weigh."""
        return self.gross_g if self.gross_g is not None else self.estimate_g

    @property
    def real(self) -> str:
        """The same in words."""
        return kilograms(self.real_g)

    @property
    def charged(self) -> str:
        """What the service charges, in words."""
        return kilograms(self.charged_g)

    @property
    def sides(self) -> str:
        """The outside in words; empty where a side is not known."""
        if not all(self.sides_mm):
            return ""
        return " × ".join(f"{side:.0f}" for side in self.sides_mm if side) + "\u202fmm"

    @property
    def is_estimate(self) -> bool:
        """Whether nobody weighed it."""
        return self.gross_g is None

    @property
    def size_counts(self) -> bool:
        """Whether the service charges the size, not the weight."""
        return bool(
            self.dimensional_g and self.real_g is not None and self.dimensional_g > self.real_g
        )

    @property
    def charged_g(self) -> float | None:
        """What the service charges."""
        return self.dimensional_g if self.size_counts else self.real_g


def kilograms(grams: float | None) -> str:
    """A weight as it is read: 1.24 kg; empty for none."""
    return "" if grams is None else pointed(f"{grams / 1000:.2f}") + "\u202fkg"


def weight_of(parcel: Parcel, rows: Sequence[Sized]) -> Weight:
    """The weight of a parcel; its box and service are read with it."""
    spec = parcel.box.spec if parcel.box else {}
    sides, measured = outside(parcel)
    grams, written, why = _dimensional(parcel.service, sides)
    return Weight(
        sides_mm=sides,
        sides_measured=measured,
        gross_g=parcel.gross_g,
        contents_g=sum((row.grams or 0) * row.count for row in rows),
        box_g=float(spec["mass_g"]) if spec.get("mass_g") is not None else None,
        lacks=[row.name for row in rows if row.grams is None],
        dimensional_g=grams,
        dimensional=written,
        why_none=why,
    )


def outside(parcel: Parcel) -> tuple[tuple[float | None, float | None, float | None], bool]:
    """The outer sides of a parcel and whether they were measured; else those of its box."""
    own = [getattr(parcel, side) for side in SIDES]
    if all(own):
        return (own[0], own[1], own[2]), True
    spec = parcel.box.spec if parcel.box else {}
    known = [spec.get(f"outer_{side}") for side in SIDES]
    return (known[0], known[1], known[2]), False


def _dimensional(
    service: Service | None, sides: tuple[float | None, float | None, float | None]
) -> tuple[float | None, str, str]:
    """Grams, how the service writes it, and why there is none."""
    if service is None or service.divisor is None:
        return None, "", _("this service does not reckon it") if service else ""
    length, width, height = sides
    if length is None or width is None or height is None:
        return None, "", _("measure its sides first")
    unit = Sides(service.sides)
    long, wide, high = (side / MM_PER[unit] for side in (length, width, height))
    if service.volume_above is not None and long * wide * high <= service.volume_above:
        return None, "", _("it is too small for that")
    weight = dimensional_weight(
        long, wide, high, service.divisor, service.rounds_sides_up, service.weight_step
    )
    return weight * G_PER[unit], f"{pointed(format(weight, '.2f'))}\u202f{_UNIT[unit]}", ""
