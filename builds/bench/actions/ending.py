"""Ends a build unfinished: what goes back to its owner is ticked by the same deed."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.bench.actions.collect import account_for_all
from builds.gates import actions as gates
from builds.progress.actions import locked
from builds.progress.models import Build, Move
from builds.progress.states import Leaves
from shop.house.speech import speaking_to_the_shop
from shop.people.models import User


@transaction.atomic
def end_unfinished(
    build: Build,
    ending: str,
    *,
    goes: str,
    back: Iterable[int],
    stays: Mapping[int, str],
    token: UUID,
    expected: str,
    reason: str,
    by: User,
    now: datetime,
) -> Move:
    """Account for what goes back and end the build, or change nothing at all.

    :param goes: how its hilt goes back; empty where there is none here, or it stays.
    :raises builds.gates.actions.Refused: something is still missing.
    """
    locked(build.pk)
    if not Move.objects.filter(token=token).exists():
        account_for_all(build, back, stays, by, now)
    return gates.end(
        build.pk,
        ending,
        token=token,
        expected=expected,
        reason=_said(goes, reason),
        by=by,
        now=now,
        goes=goes,
    )


def _said(goes: str, reason: str) -> str:
    """What history keeps: why, and which way the hilt went."""
    if not goes:
        return reason
    with speaking_to_the_shop():
        way = _("goes back by post") if goes == Leaves.POST else _("given back in person")
    return f"{reason.strip()}; {way}"
