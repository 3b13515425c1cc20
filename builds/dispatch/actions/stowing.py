"""Says where the cells of a parcel are on the way, and how their ends are safe."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.actions.packing import OF_THE_CELL, untick_again
from builds.dispatch.actions.parcels import lock_open
from builds.dispatch.models import Packed, PackedGoods, Parcel, Stowed
from builds.dispatch.queries.cells import overtaken
from builds.dispatch.queries.told import cells_changed
from builds.dispatch.refusals import Refused
from builds.dispatch.states import Stowage
from shop.history.actions import record
from shop.people.models import User

FIELDS = (
    "stowage", "terminals", "charge_percent", "chemistry", "unit", "count", "needed",
    "watt_hours", "lithium_g", "test_summary",
)  # fmt: skip


def seen_as(answer: Stowed | None) -> str:
    """What a form carries of the answer as it was shown, to notice another tablet."""
    return "|".join(str(getattr(answer, name)) for name in FIELDS) if answer else ""


@transaction.atomic
def stow(
    parcel_id: int, key: str, values: Mapping[str, Any], *, seen: str, by: User, now: datetime
) -> Stowed:
    """Say of a hilt or of goods ("build-7", "goods-3") where its cell is. The same again is once.

    :raises Refused: it does not lie in the parcel any more, or another tablet said otherwise.
    """
    parcel = lock_open(parcel_id)
    holder = _holder(parcel, key)
    answer = Stowed.objects.filter(parcel=parcel, **holder).select_related("by").first()
    same = answer and all(getattr(answer, name) == values[name] for name in values)
    if answer and same and not _is_overtaken(answer):
        return answer
    if seen_as(answer) != seen:
        who = answer.by.name if answer else _("Somebody")
        raise Refused(
            _("%s said otherwise meanwhile. Look at it as it stands now, then say it again.") % who
        )
    where = values.get("stowage")
    if answer and (where not in {None, answer.stowage} or _is_overtaken(answer)):
        untick_again(parcel, OF_THE_CELL, answer.build_id, by=by, now=now)
        untick_again(parcel, ("padded",), None, by=by, now=now)
    return _keep(answer or Stowed(parcel=parcel, **holder), values, key, by, now)


def _holder(parcel: Parcel, key: str) -> dict[str, Any]:
    kind, _dash, number = key.partition("-")
    there = {"parcel": parcel, "taken_out_at": None}
    if kind == "build" and (packed := Packed.objects.filter(build_id=int(number), **there).first()):
        return {"build": packed.build}
    if kind == "goods" and (goods := PackedGoods.objects.filter(pk=number, **there).first()):
        return {"goods": goods}
    raise Refused(_("That is not in this parcel any more."))


def _is_overtaken(answer: Stowed) -> bool:
    """Whether its cells changed since: then the same is said anew, of other cells."""
    changed = cells_changed([answer.build_id]) if answer.build_id else {}
    return overtaken(answer, changed.get(answer.build_id or 0))


def _keep(answer: Stowed, values: Mapping[str, Any], key: str, by: User, now: datetime) -> Stowed:
    for name, value in values.items():
        setattr(answer, name, value)
    if answer.stowage == Stowage.LEFT_OUT:
        # Nothing goes along whose ends or charge could matter; what it runs on stays told.
        answer.terminals, answer.charge_percent = "", None
    answer.by, answer.at = by, now
    answer.save()
    about = answer.build.about if answer.build else answer.parcel.about
    told = {"charge": answer.charge_percent} if answer.charge_percent is not None else {}
    record("cell_stowed", about, by, now, where=answer.stowage, **told)
    return answer


@transaction.atomic
def stow_all(
    parcel_id: int, keys: Iterable[str], values: Mapping[str, Any], *, by: User, now: datetime
) -> None:
    """Say the same of several at once: what a refusal offers as a way out, in one tap.

    :raises Refused: one of them does not lie in the parcel any more.
    """
    parcel = lock_open(parcel_id)
    for key in keys:
        answer = Stowed.objects.filter(parcel=parcel, **_holder(parcel, key)).first()
        stow(parcel_id, key, values, seen=seen_as(answer), by=by, now=now)
