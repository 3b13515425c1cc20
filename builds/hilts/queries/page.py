"""What the page of a hilt shows: every value with how it is known, the older ones behind it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Exists, OuterRef
from django.utils.translation import gettext as _

from builds.hilts.models import Hilt, Hole, Joint, Measurement, Section
from builds.hilts.queries.shape import HoleShape, Known, SectionShape, shapes
from builds.hilts.queries.strip import Strip, strip
from builds.hilts.states import IN_DEGREES, OF_HOLE, OF_JOINT, Basis, MeasuredThing
from shop.stores.units import shown
from shop.web.figures import pointed

MOST_LIKE = 12
_FIT_NEEDS = (MeasuredThing.LENGTH, MeasuredThing.BORE, MeasuredThing.OUTER)
_OF_A_SOCKET = (MeasuredThing.SOCKET_BORE, MeasuredThing.SOCKET_DEPTH)


@dataclass(frozen=True)
class Older:
    """A value that was written down before, or that counts less."""

    text: str
    basis: str
    by: str
    at: datetime


@dataclass(frozen=True)
class Value:
    """One thing, its value in force, and what else was written down of it."""

    label: str
    known: Known | None
    text: str
    within: str  # plus or minus
    older: Sequence[Older]

    @property
    def how(self) -> str:
        """How it is known, in words."""
        if self.known is None:
            return ""
        if self.known.basis == Basis.MEASURED:
            return _("measured by %(who)s") % {"who": self.known.by}
        if self.known.believed_from:
            return _("believed, from %(hilt)s") % {"hilt": self.known.believed_from}
        return str(Basis(self.known.basis).label)


@dataclass(frozen=True)
class HoleRow:
    """A hole with its values."""

    hole: Hole
    values: Sequence[Value]


@dataclass(frozen=True)
class SectionRow:
    """A section with all that is shown of it."""

    number: int
    shape: SectionShape
    values: Sequence[Value]
    joint_values: Sequence[Value]
    holes: Sequence[HoleRow]
    is_last: bool

    @property
    def section(self) -> Section:
        """The section itself."""
        return self.shape.section

    @property
    def joint(self) -> Joint | None:
        """What holds it to the next one."""
        return self.shape.joint

    @property
    def has_joint_values(self) -> bool:
        """Whether anything of the joint is known."""
        return any(value.known for value in self.joint_values)

    @property
    def unmeasured(self) -> list[str]:
        """What a fit needs and nobody has measured yet, in words."""
        known = self.shape.known
        return [
            str(thing.label)
            for thing in _FIT_NEEDS + (_OF_A_SOCKET if self.section.holds_blade else ())
            if thing not in known or not known[thing].is_measured
        ]


@dataclass(frozen=True)
class HiltPage:
    """A hilt from the blade's end to the pommel."""

    rows: Sequence[SectionRow]
    strip: Strip

    @property
    def next_row(self) -> SectionRow | None:
        """The first section that is not measured whole: its form stands open."""
        return next((row for row in self.rows if row.unmeasured), None)

    @property
    def measured_count(self) -> int:
        """How many sections are measured whole."""
        return sum(not row.unmeasured for row in self.rows)


def hilt_page(hilt: Hilt, unit: str) -> HiltPage:
    """Everything on the page of one hilt, in five queries."""
    shape = shapes([hilt])[hilt.pk]
    older: dict[tuple[str, int, str], list[Measurement]] = {}
    rows = Measurement.objects.filter(hilt=hilt).select_related("by", "believed_from")
    for row in rows.order_by("-at", "-pk"):
        older.setdefault(_key(row), []).append(row)
    count = len(shape.sections)
    return HiltPage(
        [
            _section(each, number, number == count, older, unit)
            for number, each in enumerate(shape.sections, start=1)
        ],
        strip(shape),
    )


def like_hilts(hilt: Hilt, begins: str) -> list[Hilt]:
    """Hilts of which something is known, by the beginning of their name, the newest first."""
    measured = Section.objects.filter(hilt=OuterRef("pk"), ended_at=None)
    found = Hilt.objects.filter(Exists(measured)).exclude(pk=hilt.pk)
    if begins.strip():
        found = found.filter(name_folded__startswith=begins.strip().casefold())
    return list(found.select_related("customer").order_by("-since", "-pk")[:MOST_LIKE])


def said(thing: str, value: float, unit: str) -> str:
    """A value with its unit: mm or inches, or degrees."""
    return pointed(f"{value:g}") + "°" if thing in IN_DEGREES else shown(value, unit)


Written = Mapping[tuple[str, int, str], Sequence[Measurement]]


def _key(row: Measurement) -> tuple[str, int, str]:
    if row.section_id:
        return ("section", row.section_id, row.quantity)
    if row.joint_id:
        return ("joint", row.joint_id, row.quantity)
    return ("hole", row.hole_id or 0, row.quantity)


def _section(
    each: SectionShape, number: int, is_last: bool, written: Written, unit: str
) -> SectionRow:
    own = _FIT_NEEDS + (_OF_A_SOCKET if each.section.holds_blade else ())
    joint_id = each.joint.pk if each.joint else 0
    return SectionRow(
        number=number,
        shape=each,
        values=_values("section", each.section.pk, own, each.known, written, unit),
        joint_values=_values("joint", joint_id, OF_JOINT, each.joint_known, written, unit),
        holes=[_hole(hole, written, unit) for hole in each.holes],
        is_last=is_last,
    )


def _hole(each: HoleShape, written: Written, unit: str) -> HoleRow:
    return HoleRow(each.hole, _values("hole", each.hole.pk, OF_HOLE, each.known, written, unit))


def _values(
    what: str,
    pk: int,
    things: Iterable[MeasuredThing],
    known: Mapping[str, Known],
    written: Written,
    unit: str,
) -> list[Value]:
    return [
        Value(
            label=str(thing.label),
            known=known.get(thing),
            text=said(thing, known[thing].value, unit) if thing in known else "",
            within=_within(known[thing].tolerance if thing in known else None, unit),
            older=[_older(row, unit) for row in written.get((what, pk, thing), ())],
        )
        for thing in things
    ]


def _within(tolerance: float | None, unit: str) -> str:
    return f"± {shown(tolerance, unit)}" if tolerance else ""


def _older(row: Measurement, unit: str) -> Older:
    basis = str(Basis(row.basis).label)
    if row.believed_from:
        basis = _("believed, from %(hilt)s") % {"hilt": row.believed_from.name}
    text = f"{row.as_typed} {_within(row.tolerance, unit)}".strip()
    return Older(text, basis, row.by.name, row.at)
