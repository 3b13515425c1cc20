"""Joints and holes with their measures, as they are typed in together: all of it or nothing."""

from collections.abc import Mapping
from datetime import datetime
from uuid import UUID

from django.db import transaction

from builds.hilts.actions.measuring import Reading, measure
from builds.hilts.actions.shape import add_hole, set_joint
from builds.hilts.models import Hole, Joint
from shop.people.models import User


@transaction.atomic
def note_joint(
    section_id: int,
    readings: Mapping[str, Reading],
    *,
    basis: str,
    kind: str,
    stuck: bool,
    note: str,
    seen: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Joint:
    """Say what holds a section to the one behind it, and what was measured of that."""
    joint = set_joint(
        section_id, kind=kind, stuck=stuck, note=note, seen=seen, token=token, by=by, now=now
    )
    measure(joint, readings, basis=basis, token=token, by=by, now=now)
    return joint


@transaction.atomic
def note_hole(
    section_id: int,
    readings: Mapping[str, Reading],
    *,
    basis: str,
    what: str,
    note: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Hole:
    """Write down a hole, and what was measured of it."""
    hole = add_hole(section_id, what=what, note=note, token=token, by=by, now=now)
    measure(hole, readings, basis=basis, token=token, by=by, now=now)
    return hole
