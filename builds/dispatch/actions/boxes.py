"""Chooses the box of a parcel, notes its size and weight, how it travels, what it is worth."""

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.actions.packing import IN_THE_BOX, untick_again
from builds.dispatch.actions.parcels import lock_open
from builds.dispatch.actions.setting_aside import let_go, set_aside
from builds.dispatch.models import Parcel, Service
from builds.dispatch.refusals import Overtaken, Refused
from shop.history.actions import record
from shop.history.queries import last_about
from shop.people.models import User
from shop.stores.actions import Short
from shop.stores.kinds import PartKind
from shop.stores.models import Part

SIZE = ("length_mm", "width_mm", "height_mm", "gross_g")


@transaction.atomic
def choose_box(parcel_id: int, box: Part | None, *, seen: int, by: User, now: datetime) -> Parcel:
    """Choose the box of a parcel, or none of the stores. The one before is free again.

    What was measured and weighed of the other box says nothing of this one.

    :param seen: the box that the person had before them, 0 for none.
    :raises Overtaken: somebody chose another meanwhile.
    :raises Refused: it is no box, or none is free.
    """
    parcel = lock_open(parcel_id)
    chosen = box.pk if box else 0
    if (parcel.box_id or 0) == chosen:
        return parcel
    if (parcel.box_id or 0) != seen:
        raise Overtaken(_who_was_first(parcel))
    if box and box.kind != PartKind.BOX:
        raise Refused(_("%s is no box.") % box)
    let_go(parcel.about, _("another box was chosen"), by=by, now=now)
    if box:
        _set_box_aside(parcel, box, by, now)
    if parcel.box_id:
        untick_again(parcel, IN_THE_BOX, None, by=by, now=now)
    for name in SIZE:
        setattr(parcel, name, None)
    parcel.box = box
    parcel.save(update_fields=["box", *SIZE])
    if box:
        record("box_chosen", parcel.about, by, now, box=box.name)
    else:
        record("box_let_go", parcel.about, by, now)
    return parcel


def _set_box_aside(parcel: Parcel, box: Part, by: User, now: datetime) -> None:
    try:
        set_aside(parcel, box, 1, about=parcel.about, by=by, now=now)
    except Short as error:
        raise Refused(str(error)) from error


def _who_was_first(parcel: Parcel) -> str:
    last = last_about(parcel.about)
    who = last.actor.name if last and last.actor else _("Somebody")
    return _("%s chose another box meanwhile. Look at it, then choose again.") % who


@transaction.atomic
def note_size(
    parcel_id: int, sides: tuple[float | None, float | None, float | None],
    gross_g: float | None, *, by: User, now: datetime,
) -> Parcel:  # fmt: skip
    """Note the outside of a parcel and what it weighs, closed. None is: not measured."""
    parcel = lock_open(parcel_id)
    grams = None if gross_g is None else round(gross_g)
    if _changed(parcel, dict(zip(SIZE, (*sides, grams), strict=True))):
        record("parcel_measured", parcel.about, by, now)
    return parcel


@transaction.atomic
def choose_service(parcel_id: int, service: Service | None, *, by: User, now: datetime) -> Parcel:
    """Say by which service a parcel goes."""
    parcel = lock_open(parcel_id)
    if service and service.retired and service != parcel.service:
        raise Refused(_("%s is offered no more. Choose another service.") % service)
    if _changed(parcel, {"service": service}):
        record("service_chosen", parcel.about, by, now)
    return parcel


@transaction.atomic
def declare(
    parcel_id: int, value_minor: int | None, insured_by: str, *, by: User, now: datetime
) -> Parcel:
    """Say what a parcel is worth and who bears its loss. The owner's alone."""
    parcel = lock_open(parcel_id)
    if _changed(parcel, {"declared_minor": value_minor, "insured_by": insured_by}):
        record("value_declared", parcel.about, by, now)
    return parcel


def _changed(parcel: Parcel, fields: dict[str, Any]) -> bool:
    """Whether any of these had another value; then they are kept."""
    changed = [name for name, value in fields.items() if getattr(parcel, name) != value]
    for name in changed:
        setattr(parcel, name, fields[name])
    if changed:
        parcel.save(update_fields=changed)
    return bool(changed)
