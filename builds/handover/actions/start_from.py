"""Begins a build with what an earlier one of the same hilt is known to have."""

from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions import Refused as NotFitted
from builds.fitting.actions.taking_over import take_over_as_fitted, take_over_as_planned
from builds.handover.actions.gestures import copy_gestures
from builds.handover.queries.before import leaves_its_cell_out, start_token
from builds.handover.queries.gestures import earlier_builds
from builds.handover.refusals import Refused
from builds.handover.states import Start
from builds.progress.models import Build
from builds.progress.queries import locked
from builds.sounds.actions import cap_brightness, copy_slots
from builds.sounds.queries import FULL, caps_of, slots_of
from shop.history.actions import record
from shop.history.queries import made_once
from shop.people.models import User
from shop.stores.kinds import PartKind


@transaction.atomic
def start_from(build_id: int, source_id: int, how: str, *, by: User, now: datetime) -> bool:
    """Take parts, wiring, slots and gestures over, each apart, and overwrite nothing. Once.

    :param how: whether the parts are in the hilt and stay, or are fitted anew.
    :returns: whether it was done now.
    :raises Refused: it is of another hilt, or past install.
    """
    build = locked(build_id)
    token = start_token(build)
    if made_once(token):
        return False
    source = Build.objects.select_related("item__order").filter(pk=source_id).first()
    if source is None or how not in Start.values:
        raise Refused(_("Say which build to start from, and whether its parts are in the hilt."))
    try:
        _parts(build, source, how, by, now)
    except NotFitted as error:
        raise Refused(str(error)) from error
    _slots(build, source, token, by, now)
    if any(each.pk == source.pk for each in earlier_builds(build)):
        copy_gestures(build.pk, source.pk, by=by, now=now)
    record("once", f"once:{token}", by, now, made=source.about)
    record("started_from", build.about, by, now, source=str(source))
    return True


def _parts(build: Build, source: Build, how: str, by: User, now: datetime) -> None:
    """A cell that its owner called harmed does not stay: whoever takes it out says what goes in."""
    if how == Start.ANEW:
        take_over_as_planned(build.pk, source, by=by, now=now)
        return
    without = {PartKind.CELL} if leaves_its_cell_out(build) else set()
    take_over_as_fitted(build.pk, source, by=by, now=now, without=without)


def _slots(build: Build, source: Build, token: UUID, by: User, now: datetime) -> None:
    """A card that holds something already stays as it is; so does another customer's."""
    held = slots_of([build.pk, source.pk])
    same = Build.objects.filter(
        pk=build.pk, item__order__customer=source.item.order.customer_id
    ).exists()
    if held[build.pk] or not held[source.pk] or not same:
        return
    copy_slots(build.pk, source.pk, token=uuid5(token, "slots"), by=by, now=now)
    caps = caps_of([build.pk, source.pk])
    if source.pk in caps and build.pk not in caps:
        cap_brightness(build.pk, caps[source.pk], seen=FULL, by=by, now=now)
