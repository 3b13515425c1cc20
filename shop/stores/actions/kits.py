"""Kits: made, filled with parts, given the minutes that they take, retired."""

from collections.abc import Mapping
from datetime import datetime
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.history.queries import made_once
from shop.house.models import House
from shop.people.models import User
from shop.stores.kinds import FOR_PACKING
from shop.stores.models import Kit, Part
from shop.stores.queries.levels import amount
from shop.stores.refusals import Refused

MOST = 100_000  # of one part in a kit: a hundred metres of wire
LONGEST = 10_000  # minutes at one stage


@transaction.atomic
def add_kit(name: str, note: str, *, token: UUID, by: User, now: datetime) -> Kit:
    """Make a kit. The same token twice is one kit.

    :raises Refused: a kit of that name is there already.
    """
    House.objects.select_for_update().filter(id=1).first()  # one at a time: a double tap sees it
    made = made_once(token)
    if made:
        return Kit.objects.get(pk=int(made.partition(":")[2]))
    kit = _named(Kit(note=note.strip()), name)
    record("once", f"once:{token}", by, now, made=kit.about)
    record("kit_added", kit.about, by, now, kit=kit.name)
    return kit


@transaction.atomic
def change_kit(kit_id: int, name: str, note: str, *, by: User, now: datetime) -> Kit:
    """Give a kit another name or note."""
    kit = _locked(kit_id)
    if (kit.name, kit.note) != (name.strip(), note.strip()):
        kit.note = note.strip()
        _named(kit, name)
        record("kit_changed", kit.about, by, now, kit=kit.name)
    return kit


@transaction.atomic
def put_in_kit(kit_id: int, part: Part, quantity: int, *, by: User, now: datetime) -> Kit:
    """Say how much of a part a kit has; none takes it out."""
    kit = _locked(kit_id)
    if not 0 <= quantity <= MOST:
        raise Refused(_("Type how many: a number from 0 to 100,000."))
    if part.kind in FOR_PACKING:
        raise Refused(_("%s is for packing and goes into no hilt.") % part)
    line = kit.lines.filter(part=part).first()
    if quantity == (line.quantity if line else 0):
        return kit
    if quantity:
        kit.lines.update_or_create(part=part, defaults={"quantity": quantity})
    elif line:
        line.delete()
    record("kit_filled", kit.about, by, now, part=part.name, amount=amount(part, quantity))
    return kit


@transaction.atomic
def set_minutes(kit_id: int, minutes: Mapping[str, int], *, by: User, now: datetime) -> Kit:
    """Say how long a kit takes at each stage; a stage with none has no row."""
    kit = _locked(kit_id)
    if any(not 0 <= each <= LONGEST for each in minutes.values()):
        raise Refused(_("Type minutes from 0 to 10,000."))
    wanted = {stage: each for stage, each in minutes.items() if each}
    if dict(kit.hours.values_list("stage", "minutes")) != wanted:
        kit.hours.all().delete()
        for stage, each in wanted.items():
            kit.hours.create(stage=stage, minutes=each)
        record("kit_timed", kit.about, by, now, minutes=sum(wanted.values()))
    return kit


@transaction.atomic
def retire_kit(kit_id: int, *, by: User, now: datetime) -> Kit:
    """Offer a kit no more. Twice is once."""
    kit = _locked(kit_id)
    if not kit.retired:
        kit.retired = True
        kit.save(update_fields=["retired"])
        record("kit_retired", kit.about, by, now, kit=kit.name)
    return kit


@transaction.atomic
def kit_back(kit_id: int, *, by: User, now: datetime) -> Kit:
    """Offer a kit again."""
    kit = _locked(kit_id)
    if kit.retired:
        kit.retired = False
        kit.save(update_fields=["retired"])
        record("kit_back", kit.about, by, now, kit=kit.name)
    return kit


def _locked(kit_id: int) -> Kit:
    return Kit.objects.select_for_update().get(pk=kit_id)


def _named(kit: Kit, name: str) -> Kit:
    kit.name = name.strip()
    if not kit.name:
        raise Refused(_("Give the kit a name."))
    try:
        with transaction.atomic():
            kit.save()
    except IntegrityError as error:
        raise Refused(_("There is a kit of this name already.")) from error
    return kit
