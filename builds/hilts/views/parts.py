"""A section as its part of the page shows it: its row, and its forms, bound or fresh."""

from typing import Any
from uuid import uuid4

from django.forms import BaseForm

from builds.hilts.forms import measuring, shape
from builds.hilts.queries import SectionRow, joint_mark, section_mark
from builds.hilts.states import Basis
from builds.hilts.views.where import Bound


def part_of(row: SectionRow, unit: str, basis: str, bound: Bound) -> dict[str, Any]:
    """A section with its forms, and the marks and tokens of its small deeds."""
    return {
        "row": row,
        "forms": _forms(row, unit, basis, bound),
        "holes": [_hole(each, unit, bound) for each in row.holes],
        "seen": section_mark(row.section),
        "token": uuid4(),
        "tokens": [uuid4(), uuid4()],
        "before": row.number - 1,
        "after": row.number + 1,
    }


def _forms(row: SectionRow, unit: str, basis: str, bound: Bound) -> dict[str, BaseForm]:
    pk = row.section.pk
    hole = shape.HoleForm(section=row.section, unit=unit, initial={"token": uuid4()})
    return {
        "measure": bound.get(f"measure-{pk}") or _measure(row, unit, basis),
        "change": bound.get(f"change-{pk}") or _change(row),
        "joint": bound.get(f"joint-{pk}") or _joint(row, unit),
        "hole": bound.get(f"hole-{pk}") or hole,
    }


def basis_for(build: Any) -> str:
    """What is in the shop is measured; of what is not, somebody told."""
    is_here = build is not None and (
        build.tray_id or build.place_id or build.matches.filter(ended_at=None).exists()
    )
    return Basis.MEASURED if is_here else Basis.TOLD


def _measure(row: SectionRow, unit: str, basis: str) -> BaseForm:
    initial = {"basis": basis, "token": uuid4()}
    return measuring.MeasureForm(shape=row.shape, unit=unit, initial=initial)


def _change(row: SectionRow) -> BaseForm:
    section = row.section
    names = ("name", "holds_blade", "blade_screw", "note")
    facts = {name: getattr(section, name) for name in names}
    seen = {"seen": section_mark(section), "token": uuid4()}
    return shape.SectionForm(section=section, initial={**facts, **seen})


def _joint(row: SectionRow, unit: str) -> BaseForm:
    joint = row.joint
    held = {"kind": joint.kind, "stuck": joint.stuck, "note": joint.note} if joint else {}
    seen = {"seen": joint_mark(joint), "token": uuid4()}
    return shape.JointForm(section=row.section, unit=unit, initial={**held, **seen})


def _hole(each: Any, unit: str, bound: Bound) -> tuple[Any, BaseForm]:
    fresh = measuring.HoleMeasureForm(hole_id=each.hole.pk, unit=unit, initial={"token": uuid4()})
    return each, bound.get(f"measure-hole-{each.hole.pk}") or fresh
