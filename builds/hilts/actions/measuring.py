"""Writes down what was told, believed or measured. Rows are never changed: the newest counts."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.hilts.actions.once import locked
from builds.hilts.models import Hilt, Hole, Joint, Measurement, Section
from builds.hilts.refusals import Refused
from builds.hilts.states import (
    IN_DEGREES,
    OF_HOLE,
    OF_JOINT,
    OF_SECTION,
    TWICE,
    MeasuredThing,
)
from shop.history.actions import record
from shop.people.models import User

LONGEST_MM = 2000.0  # no hilt is longer; beyond it a unit was mistaken
Thing = Section | Joint | Hole


@dataclass(frozen=True)
class Reading:
    """One thing as it was read: in mm or degrees, with the text of it as typed."""

    value: float
    as_typed: str
    second: float | None = None  # of a bore, a quarter turn on
    tolerance: float | None = None


@transaction.atomic
def measure(
    thing: Thing,
    readings: Mapping[str, Reading],
    *,
    basis: str,
    token: UUID,
    by: User,
    now: datetime,
) -> list[Measurement]:
    """Write down readings of a section, a joint or a hole; a repeated token writes nothing.

    :param readings: a name of ``MeasuredThing`` → what was read.
    :raises Refused: a value that no such thing can have, or a thing that is off the hilt.
    """
    hilt = locked(section_of(thing).hilt_id)
    for quantity, reading in readings.items():
        _check(thing, quantity, reading)
    written = Measurement.objects.filter(token__in=[uuid5(token, name) for name in readings])
    if written.exists():
        return list(written)
    thing.refresh_from_db(fields=["ended_at"])
    if thing.ended_at:
        raise Refused(_("This is off the hilt by now; nothing was kept."))
    return [_write(hilt, thing, q, r, basis, token, by, now) for q, r in readings.items()]


def section_of(thing: Thing) -> Section:
    """The section that a thing is, or is on."""
    return thing if isinstance(thing, Section) else thing.section


def whose(thing: Thing) -> dict[str, Thing]:
    """The column of a measurement that names a thing."""
    return {type(thing).__name__.lower(): thing}


def _write(
    hilt: Hilt,
    thing: Thing,
    quantity: str,
    reading: Reading,
    basis: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Measurement:
    row = Measurement.objects.create(
        hilt=hilt,
        **whose(thing),
        quantity=quantity,
        value=reading.value,
        second=reading.second,
        tolerance=reading.tolerance,
        as_typed=reading.as_typed,
        basis=basis,
        token=uuid5(token, quantity),
        by=by,
        at=now,
    )
    facts = {"thing": quantity, "typed": reading.as_typed, "basis": basis}
    record("measured", hilt.about, by, now, section=section_of(thing).name, **facts)
    return row


def _check(thing: Thing, quantity: str, reading: Reading) -> None:
    measured = {Section: OF_SECTION, Joint: OF_JOINT, Hole: OF_HOLE}[type(thing)]
    if quantity not in measured:
        raise Refused(_("That is not measured there."))
    if reading.second is not None and quantity not in TWICE:
        raise Refused(_("Only a bore is read twice."))
    for value in (reading.value, reading.second):
        if value is not None:
            _check_value(quantity, value)
    if reading.tolerance is not None and not 0 <= reading.tolerance < reading.value:
        raise Refused(_("The tolerance is from nothing to less than the value itself."))


def _check_value(quantity: str, value: float) -> None:
    if quantity in IN_DEGREES:
        if not 0 <= value <= 360:
            raise Refused(_("An angle goes from 0 to 360 degrees."))
        return
    least_is_nothing = quantity == MeasuredThing.FROM_FRONT
    if not math.isfinite(value) or value > LONGEST_MM or value < 0:
        raise Refused(_("A length goes from 0 to 2000 mm. Look at the unit."))
    if value == 0 and not least_is_nothing:
        raise Refused(_("A length is more than nothing."))
