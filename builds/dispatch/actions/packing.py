"""Ticks lines of the packing list, and takes a tick back."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.actions.parcels import lock_parcel
from builds.dispatch.models import PackTick, Parcel
from builds.dispatch.queries.packing import packing_of
from builds.dispatch.refusals import Refused
from shop.history.actions import record
from shop.people.models import User

# True of what was in the box when it was ticked, and of no other.
IN_THE_BOX = ("padded", "slip")
OF_THE_CELL = ("switched-off", "cell-out")


@transaction.atomic
def tick_line(
    parcel_id: int, code: str, build_id: int | None, *, token: UUID, by: User, now: datetime
) -> PackTick:
    """Tick a line of the packing list. Twice is once, whoever taps.

    :returns: the tick that stands; another's, where that person was first.
    :raises Refused: the parcel is not here any more, or its list has no such line.
    """
    parcel = _open_parcel(parcel_id)
    repeat = PackTick.objects.filter(token=token).select_related("by").first()
    if repeat:
        return repeat
    asked = {one.line.key: one for one in packing_of(parcel).all}
    if (code, build_id) not in asked:
        raise Refused(_("That page was out of date. Here is how things stand."))
    standing = asked[code, build_id].tick
    if standing:
        return standing
    made = PackTick.objects.create(
        token=token, parcel=parcel, build_id=build_id, code=code, at=now, by=by
    )
    record("pack_ticked", _about(made), by, now, line=_line(made))
    return made


@transaction.atomic
def untick_line(parcel_id: int, tick_id: int, *, by: User, now: datetime) -> None:
    """Take a tick back; what was ticked once stays told. Gone already is gone.

    :raises Refused: the parcel is not here any more.
    """
    parcel = _open_parcel(parcel_id)
    tick = parcel.ticks.filter(pk=tick_id, taken_back_at=None).first()
    if tick:
        tick.taken_back_at = now
        tick.save(update_fields=["taken_back_at"])
        record("pack_unticked", _about(tick), by, now, line=_line(tick))


def untick_again(
    parcel: Parcel, codes: Iterable[str], build_id: int | None, *, by: User, now: datetime
) -> None:
    """Take ticks back that are true no more, as another box was taken. Under the parcel's lock."""
    standing = parcel.ticks.filter(code__in=list(codes), build=build_id, taken_back_at=None)
    for tick in standing.order_by("pk"):
        tick.taken_back_at = now
        tick.save(update_fields=["taken_back_at"])
        record("pack_unticked", _about(tick), by, now, line=_line(tick))


def _open_parcel(parcel_id: int) -> Parcel:
    parcel = lock_parcel(parcel_id)
    if parcel.left_at:
        raise Refused(_("This parcel has left."))
    if parcel.opened_at:
        raise Refused(_("This parcel was opened again; close it first."))
    return parcel


def _about(tick: PackTick) -> str:
    return f"build:{tick.build_id}" if tick.build_id else tick.parcel.about


def _line(tick: PackTick) -> str:
    """The code of a line as history keeps it: goods are named on the order."""
    return "goods" if tick.code.startswith("goods-") else tick.code
