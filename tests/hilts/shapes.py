"""Gives hilts a shape for tests."""

from collections.abc import Sequence
from datetime import datetime
from uuid import uuid4

from builds.hilts.actions import Reading, add_section, measure, set_joint
from builds.hilts.models import Hilt, Section
from builds.hilts.states import Basis, MeasuredThing
from shop.models import User

# Name, length, outside, bore.
PLAIN: Sequence[tuple[str, float, float, float]] = (
    ("emitter", 60, 38, 28.5),
    ("grip", 140, 36, 28.5),
    ("pommel", 45, 38, 26),
)


def mm(value: float, second: float | None = None) -> Reading:
    """A reading in millimetres."""
    return Reading(value=value, second=second, as_typed=f"{value:g} mm")


def make_sections(
    hilt: Hilt,
    by: User,
    now: datetime,
    sections: Sequence[tuple[str, float, float, float]] = PLAIN,
    basis: str = Basis.MEASURED,
) -> list[Section]:
    """Sections from the blade's end, each with its length, outside and bore."""
    made = []
    for place, (name, length, outer, bore) in enumerate(sections):
        section = add_section(hilt, name, token=uuid4(), by=by, now=now, holds_blade=place == 0)
        readings = {
            MeasuredThing.LENGTH: mm(length),
            MeasuredThing.OUTER: mm(outer),
            MeasuredThing.BORE: mm(bore, bore + 0.05),
        }
        measure(section, readings, basis=basis, token=uuid4(), by=by, now=now)
        made.append(section)
    return made


def make_joints(sections: Sequence[Section], by: User, now: datetime, kind: str = "thread") -> None:
    """A joint behind every section but the last."""
    for section in sections[:-1]:
        set_joint(
            section.pk,
            kind=kind,
            stuck=False,
            note="",
            seen="none",
            token=uuid4(),
            by=by,
            now=now,
        )
