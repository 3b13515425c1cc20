"""What is known of a hilt: each value in force, and the shape that sums and drawings use."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256

from builds.hilts.models import Hilt, Hole, Joint, Measurement, Section
from builds.hilts.states import Basis, MeasuredThing
from shop.web.reading import each_once

# A measured value counts before a told one, that before a believed one; then the newest.
WEIGHT = {Basis.MEASURED: 2, Basis.TOLD: 1, Basis.BELIEVED: 0}
# Of two readings the one that leaves less room.
_SMALLER = {MeasuredThing.BORE, MeasuredThing.SOCKET_BORE, MeasuredThing.SOCKET_DEPTH}


@dataclass(frozen=True)
class Known:
    """A value in force, in mm or degrees, with how it is known and since when."""

    value: float
    basis: str
    as_typed: str
    at: datetime
    by: str
    tolerance: float = 0.0
    believed_from: str = ""

    @property
    def is_measured(self) -> bool:
        """Whether somebody measured it on this hilt."""
        return self.basis == Basis.MEASURED


@dataclass(frozen=True)
class HoleShape:
    """A hole and what is known of it, by the names in ``MeasuredThing``."""

    hole: Hole
    known: dict[str, Known] = field(default_factory=dict)


@dataclass(frozen=True)
class SectionShape:
    """A section with what is known of it, of the joint behind it, of its holes."""

    section: Section
    known: dict[str, Known] = field(default_factory=dict)
    joint: Joint | None = None
    joint_known: dict[str, Known] = field(default_factory=dict)
    holes: tuple[HoleShape, ...] = ()

    def value(self, thing: str) -> float | None:
        """A value in force, None where nobody knows."""
        found = self.known.get(thing)
        return found.value if found else None


@dataclass(frozen=True)
class Shape:
    """A hilt from the blade's end to the pommel."""

    hilt: Hilt
    sections: tuple[SectionShape, ...]

    @property
    def socket(self) -> SectionShape | None:
        """The section that holds the blade."""
        return next((each for each in self.sections if each.section.holds_blade), None)


def shapes(hilts: Iterable[Hilt]) -> dict[int, Shape]:
    """Hilt id → its shape, in four queries for all."""
    known = {hilt.pk: hilt for hilt in hilts}
    return each_once(shapes, lambda ids: _shapes([known[pk] for pk in ids]), known)


def _shapes(hilts: list[Hilt]) -> dict[int, Shape]:
    sections = list(Section.objects.filter(hilt__in=hilts, ended_at=None).order_by("position"))
    joints = {
        row.section_id: row for row in Joint.objects.filter(section__in=sections, ended_at=None)
    }
    holes: dict[int, list[Hole]] = {}
    for hole in Hole.objects.filter(section__in=sections, ended_at=None).order_by("id"):
        holes.setdefault(hole.section_id, []).append(hole)
    values = in_force(
        Measurement.objects.filter(hilt__in=hilts).select_related("by", "believed_from")
    )
    return {
        hilt.pk: Shape(
            hilt,
            tuple(
                _section(each, joints.get(each.pk), holes.get(each.pk, []), values)
                for each in sections
                if each.hilt_id == hilt.pk
            ),
        )
        for hilt in hilts
    }


def section_mark(section: Section) -> str:
    """What tells a section that somebody saw from one that was changed since."""
    seen = (section.position, section.name, section.holds_blade, section.blade_screw, section.note)
    return _mark(*seen, section.ended_at is not None)


def joint_mark(joint: Joint | None) -> str:
    """What tells a joint that somebody saw from one that was changed since."""
    return _mark(joint.pk, joint.kind, joint.stuck, joint.note) if joint else "none"


def _mark(*seen: object) -> str:
    return sha256(repr(seen).encode()).hexdigest()[:16]


def in_force(rows: Iterable[Measurement]) -> dict[tuple[str, int], dict[str, Known]]:
    """("section" | "joint" | "hole", id) → quantity → the value that counts."""
    best: dict[tuple[str, int], dict[str, Measurement]] = {}
    for row in rows:
        place = best.setdefault(_whose(row), {})
        if row.quantity not in place or _weight(row) > _weight(place[row.quantity]):
            place[row.quantity] = row
    return {
        whose: {quantity: _known(row) for quantity, row in rows_of.items()}
        for whose, rows_of in best.items()
    }


def _whose(row: Measurement) -> tuple[str, int]:
    if row.section_id:
        return ("section", row.section_id)
    return ("joint", row.joint_id) if row.joint_id else ("hole", row.hole_id or 0)


def _weight(row: Measurement) -> tuple[int, datetime, int]:
    return (WEIGHT[Basis(row.basis)], row.at, row.pk)


def _known(row: Measurement) -> Known:
    readings = [row.value] if row.second is None else [row.value, row.second]
    value = min(readings) if row.quantity in _SMALLER else max(readings)
    return Known(
        value=value,
        basis=row.basis,
        as_typed=row.as_typed,
        at=row.at,
        by=row.by.name,
        tolerance=row.tolerance or 0.0,
        believed_from=row.believed_from.name if row.believed_from else "",
    )


def _section(
    section: Section,
    joint: Joint | None,
    holes: list[Hole],
    values: dict[tuple[str, int], dict[str, Known]],
) -> SectionShape:
    return SectionShape(
        section=section,
        known=values.get(("section", section.pk), {}),
        joint=joint,
        joint_known=values.get(("joint", joint.pk), {}) if joint else {},
        holes=tuple(HoleShape(hole, values.get(("hole", hole.pk), {})) for hole in holes),
    )
