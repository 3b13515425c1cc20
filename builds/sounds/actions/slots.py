"""Changes what the card of a build holds, and how bright its blade may be."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.progress.queries import back_since, locked, still_so
from builds.progress.states import PARTS_IN
from builds.sounds.models import Brightness, Slot
from builds.sounds.queries import FULL, MOST, free_place, like_builds
from builds.sounds.queries.sets import allowed_for
from builds.sounds.refusals import Overtaken, Refused
from shop.history.actions import record
from shop.history.queries import made_once
from shop.people.models import User

FIELDS = ("place", "name", "colour", "look", "sound_set_id", "music")
_AT_FIRST: dict[str, Any] = {"sound_set_id": None, "music": ""}  # where nobody says so
_ASIDE = 0  # where one of two slots stands while they change places


def seen_as(slot: Slot) -> str:
    """What a form carries of the slot as it was shown, to notice another tablet."""
    return "|".join(str(getattr(slot, name)) for name in FIELDS)


@transaction.atomic
def add_slot(
    build_id: int, values: dict[str, Any], *, token: UUID, by: User, now: datetime
) -> None:
    """Put a slot on the card, once for one token.

    :raises Refused: the place is taken, or the build has ended.
    """
    build = _open(build_id)
    if made_once(token):
        return
    _check_free(build, values["place"])
    values = _AT_FIRST | values
    _check_allowed(build, values["sound_set_id"])
    slot = Slot.objects.create(build=build, **{name: values[name] for name in FIELDS})
    record("once", f"once:{token}", by, now, made=f"slot:{slot.pk}")
    record("slot_added", build.about, by, now, place=slot.place, name=slot.name)


@transaction.atomic
def change_slot(
    slot_id: int, values: dict[str, Any], *, seen: str, by: User, now: datetime
) -> None:
    """Change a slot that still is as the person saw it. What is so already stays.

    :raises Overtaken: another tablet changed it.
    :raises Refused: the place is taken, or the build has ended.
    """
    slot = _standing(slot_id)
    values = {name: getattr(slot, name) for name in _AT_FIRST} | values
    if all(getattr(slot, name) == values[name] for name in FIELDS) and not slot.ended_at:
        return
    _check_seen(slot, seen)
    if values["place"] != slot.place:
        _check_free(slot.build, values["place"])
    if values["sound_set_id"] != slot.sound_set_id:
        _check_allowed(slot.build, values["sound_set_id"])
    for name in FIELDS:
        setattr(slot, name, values[name])
    # What was looked at on the unit was the slot as it was.
    slot.verified_at = slot.verified_by = None
    slot.save(update_fields=[*FIELDS, "verified_at", "verified_by"])
    record("slot_changed", slot.build.about, by, now, place=slot.place, name=slot.name)


@transaction.atomic
def move_up(slot_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Let a slot change places with the one before it on the card.

    :raises Overtaken: another tablet changed it.
    """
    slot = _standing(slot_id)
    _check_seen(slot, seen)
    before = slot.build.slots.filter(ended_at=None, place__lt=slot.place).last()
    if before is None:
        return
    earlier, later = before.place, slot.place
    for each, place in ((before, _ASIDE), (slot, earlier), (before, later)):
        each.place = place
        each.verified_at = each.verified_by = None
        each.save(update_fields=["place", "verified_at", "verified_by"])
    record("slot_moved", slot.build.about, by, now, place=earlier, name=slot.name)


@transaction.atomic
def verify_slot(slot_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Say that a slot was seen and heard on the actual unit; said already, it stays so.

    :raises Overtaken: another tablet changed it: what was looked at is not what stands here.
    :raises Refused: the parts are not in the hilt.
    """
    slot = _standing(slot_id)
    _check_seen(slot, seen)
    if slot.build.state not in PARTS_IN:
        raise Refused(_("It is seen and heard on the hilt with its parts in, from install on."))
    if still_so(slot.verified_at, back_since([slot.build_id]).get(slot.build_id)):
        return
    slot.verified_at, slot.verified_by = now, by
    slot.save(update_fields=["verified_at", "verified_by"])
    record("slot_verified", slot.build.about, by, now, place=slot.place, name=slot.name)


@transaction.atomic
def end_slot(slot_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Take a slot off the card; taken off already, nothing happens.

    :raises Overtaken: another tablet changed it.
    """
    slot = _standing(slot_id)
    if slot.ended_at:
        return
    _check_seen(slot, seen)
    slot.ended_at = now
    slot.save(update_fields=["ended_at"])
    record("slot_ended", slot.build.about, by, now, place=slot.place, name=slot.name)


@transaction.atomic
def copy_slots(build_id: int, source_id: int, *, token: UUID, by: User, now: datetime) -> int:
    """Put the slots of another build of the same customer on the card, once for one token.

    A place that is taken is left; the slot gets the first free one.

    :raises Refused: the other build is another customer's, or the card has not so many places.
    """
    build = _open(build_id)
    if made_once(token):
        return 0
    source = like_builds(build).filter(pk=source_id).first()
    if source is None:
        raise Refused(_("Slots are copied between builds of one customer alone."))
    copied = [_copy(slot, build) for slot in source.slots.filter(ended_at=None).order_by("place")]
    record("once", f"once:{token}", by, now, made=build.about)
    record("slots_copied", build.about, by, now, count=len(copied), source=str(source))
    return len(copied)


def _copy(slot: Slot, build: Build) -> Slot:
    taken = set(build.slots.filter(ended_at=None).values_list("place", flat=True))
    place = slot.place if slot.place not in taken else free_place(taken)
    if place > MOST:
        raise Refused(_("The card has no more places than %(most)d.") % {"most": MOST})
    kept = {name: getattr(slot, name) for name in FIELDS} | {"place": place}
    if not _is_allowed(build, slot.sound_set_id):
        kept["sound_set_id"] = None  # offered no more: the slot comes without it
    return Slot.objects.create(build=build, **kept)


@transaction.atomic
def cap_brightness(build_id: int, percent: int, *, seen: int, by: User, now: datetime) -> None:
    """Say how bright the blade may be at most.

    :raises Overtaken: another tablet set it meanwhile.
    """
    build = _open(build_id)
    held = Brightness.objects.filter(build=build).first()
    stands = held.percent if held else FULL
    if held and stands == percent:
        return
    if stands != seen:
        raise Overtaken(build.about)
    Brightness.objects.update_or_create(build=build, defaults={"percent": percent})
    record("brightness_capped", build.about, by, now, percent=percent)


def _is_allowed(build: Build, set_id: int | None) -> bool:
    return set_id is None or allowed_for(build.item.order.customer_id).filter(pk=set_id).exists()


def _check_allowed(build: Build, set_id: int | None) -> None:
    """A set that another customer bought is never on this card, whatever a form says."""
    if not _is_allowed(build, set_id):
        raise Refused(_("This sound set may not be used for this customer. Choose another."))


def _open(build_id: int) -> Build:
    build = locked(build_id)
    if not build.is_open:
        raise Refused(_("This build has ended; its card stays as it is."))
    return build


def _standing(slot_id: int) -> Slot:
    """The slot of an open build, the build locked: its places are taken one at a time."""
    build = _open(Slot.objects.values_list("build", flat=True).get(pk=slot_id))
    slot = Slot.objects.get(pk=slot_id)
    slot.build = build
    return slot


def _check_seen(slot: Slot, seen: str) -> None:
    if slot.ended_at or seen_as(slot) != seen:
        raise Overtaken(slot.build.about)


def _check_free(build: Build, place: int) -> None:
    holder = build.slots.filter(ended_at=None, place=place).first()
    if holder:
        raise Refused(
            _("Place %(place)d holds “%(name)s”. Choose another.")
            % {"place": place, "name": holder.name}
        )
