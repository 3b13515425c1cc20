"""Ticks shots of the list as they are filmed. A tick is taken back by a tap and stays told."""

from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.handover.models import ShotTick
from builds.handover.queries.shots import shots_of
from builds.handover.refusals import Refused
from builds.progress.actions import locked
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def tick_shot(
    build_id: int, code: str, *, token: UUID, by: User, now: datetime
) -> tuple[ShotTick, bool]:
    """Say that a shot was filmed, once for one token; whether somebody else had ticked it before.

    :raises Refused: the list has no such shot any more.
    """
    build = locked(build_id)
    token = uuid5(token, code)  # a page has one for all its shots
    if known := ShotTick.objects.filter(token=token).select_related("by").first():
        return known, False
    there = ShotTick.objects.filter(build=build, code=code, taken_back_at=None)
    if before := there.select_related("by").first():
        return before, before.by_id != by.pk
    shot = shots_of(build).find(code)
    if shot is None:
        raise Refused(_("This shot is not on the list any more. Look at it anew."))
    made = ShotTick.objects.create(token=token, build=build, code=code, at=now, by=by)
    record("shot_ticked", build.about, by, now, shot=shot.title)
    return made, False


@transaction.atomic
def untick_shot(build_id: int, tick_id: int, *, by: User, now: datetime) -> None:
    """Take a tick back; taken back already, nothing happens."""
    build = locked(build_id)
    tick = ShotTick.objects.filter(build=build, pk=tick_id, taken_back_at=None).first()
    if tick is None:
        return
    shot = shots_of(build).find(tick.code)
    tick.taken_back_at = now
    tick.save(update_fields=["taken_back_at"])
    record("shot_taken_back", build.about, by, now, shot=shot.title if shot else tick.code)
