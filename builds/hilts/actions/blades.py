"""Writes blades down: what each is, its pixels counted, the hilt it was tried in, how it ended."""

from collections.abc import Mapping
from datetime import datetime
from hashlib import sha256
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.hilts.actions.once import made_before, remember
from builds.hilts.models import Blade, Hilt
from builds.hilts.refusals import Overtaken, Refused
from shop.history.actions import record
from shop.people.models import Customer, User
from shop.stores.kinds import PartKind
from shop.stores.models import Part

FIELDS = ("name", "part_id", "diameter_mm", "length_mm", "connector", "note")
_OF_SPEC = ("diameter_mm", "length_mm")


def seen_blade(blade: Blade) -> str:
    """What a form carries of a blade as it was shown, to notice another tablet."""
    known = (*FIELDS, "pixels", "tried_in_id", "ended_at")
    said = "\n".join(str(getattr(blade, name)) for name in known)
    return sha256(said.encode()).hexdigest()[:16]


@transaction.atomic
def add_blade(
    customer: Customer, values: Mapping[str, Any], *, token: UUID, by: User, now: datetime
) -> Blade:
    """Write a customer's blade down, once for one token; what is empty comes from its part."""
    Customer.objects.select_for_update().get(pk=customer.pk)  # a double tap waits here
    if made := made_before(token):
        return Blade.objects.get(pk=made)
    blade = write_blade(customer, values, by, now)
    remember(token, blade.about, by, now)
    return blade


def write_blade(customer: Customer, values: Mapping[str, Any], by: User, now: datetime) -> Blade:
    """Write the row. Part of a deed: the caller holds the transaction."""
    said = {name: values.get(name) for name in FIELDS}
    blade = Blade(customer=customer, since=now, **_whole(said))
    blade.pixels = _as_its_part_says(blade)
    blade.save()
    record("blade_added", blade.about, by, now, name=blade.name)
    return blade


@transaction.atomic
def change_blade(
    blade_id: int, values: Mapping[str, Any], *, seen: str, by: User, now: datetime
) -> None:
    """Change what is written of a blade that still is as the person saw it.

    :raises Overtaken: another tablet changed it.
    """
    blade = _locked(blade_id)
    said = _whole({name: values.get(name) for name in FIELDS})
    if all(getattr(blade, name) == value for name, value in said.items()):
        return
    _check_seen(blade, seen)
    is_another = said["part_id"] != blade.part_id
    for name, value in said.items():
        setattr(blade, name, value)
    if is_another and blade.counted_at is None:
        blade.pixels = _as_its_part_says(blade)
    blade.save()
    record("blade_changed", blade.about, by, now, name=blade.name)


@transaction.atomic
def count_pixels(blade_id: int, pixels: int, *, seen: str, by: User, now: datetime) -> None:
    """Say how many pixels somebody counted, both sides together; 0 is a blade without any.

    :raises Overtaken: another tablet changed the blade.
    """
    blade = _locked(blade_id)
    if blade.counted_at and blade.pixels == pixels:
        return
    _check_seen(blade, seen)
    blade.pixels, blade.counted_at, blade.counted_by = pixels, now, by
    blade.save(update_fields=["pixels", "counted_at", "counted_by"])
    record("blade_counted", blade.about, by, now, pixels=pixels)


@transaction.atomic
def try_blade(blade_id: int, hilt: Hilt, *, seen: str, by: User, now: datetime) -> None:
    """Say in which hilt a blade was tried: it seats, and it holds.

    :raises Refused: the hilt is another customer's.
    :raises Overtaken: another tablet changed the blade.
    """
    blade = _locked(blade_id)
    if hilt.customer_id != blade.customer_id:
        raise Refused(_("%(hilt)s belongs to another customer.") % {"hilt": hilt})
    if blade.tried_in_id == hilt.pk:
        return
    _check_seen(blade, seen)
    blade.tried_in, blade.tried_at, blade.tried_by = hilt, now, by
    blade.save(update_fields=["tried_in", "tried_at", "tried_by"])
    record("blade_tried", blade.about, by, now, hilt=hilt.name)


@transaction.atomic
def end_blade(blade_id: int, because: str, *, seen: str, by: User, now: datetime) -> None:
    """Say that a blade is gone, and why: sold on, broken, stripped. Gone already, it stays so.

    :raises Refused: nobody said why.
    :raises Overtaken: another tablet changed the blade.
    """
    blade = _locked(blade_id)
    if blade.ended_at:
        return
    if not because.strip():
        raise Refused(_("Say what became of it: sold on, broken, stripped."))
    _check_seen(blade, seen)
    blade.ended_at, blade.ended_because = now, because.strip()
    blade.save(update_fields=["ended_at", "ended_because"])
    record("blade_ended", blade.about, by, now, why=blade.ended_because)


@transaction.atomic
def bring_blade_back(blade_id: int, *, by: User, now: datetime) -> None:
    """It is there after all; not gone, nothing happens."""
    blade = _locked(blade_id)
    if blade.ended_at is None:
        return
    blade.ended_at, blade.ended_because = None, ""
    blade.save(update_fields=["ended_at", "ended_because"])
    record("blade_back", blade.about, by, now)


def _whole(said: dict[str, Any]) -> dict[str, Any]:
    """Values with those of its part where nobody typed any.

    :raises Refused: the part is no blade.
    """
    part = Part.objects.filter(pk=said["part_id"]).first() if said["part_id"] else None
    if part and part.kind != PartKind.BLADE:
        raise Refused(_("%(part)s is no blade.") % {"part": part})
    spec = part.spec if part else {}
    lent = {name: spec.get(name) for name in _OF_SPEC if said[name] is None}
    words = {name: said[name] or "" for name in ("connector", "note")}
    return {**said, **lent, **words}


def _as_its_part_says(blade: Blade) -> int | None:
    """Pixels that nobody counted on this one."""
    part = Part.objects.filter(pk=blade.part_id).first() if blade.part_id else None
    return int(part.spec["pixels"]) if part and part.spec.get("pixels") else None


def _locked(blade_id: int) -> Blade:
    return Blade.objects.select_for_update(of=("self",)).get(pk=blade_id)


def _check_seen(blade: Blade, seen: str) -> None:
    if seen_blade(blade) != seen:
        raise Overtaken(blade.about)
