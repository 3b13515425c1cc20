"""Frees what is reserved for builds that ended or went back, once that can no longer be undone."""

from datetime import datetime
from uuid import uuid5

from django.db import transaction
from django.db.models import F, OuterRef, Q, QuerySet, Subquery
from django.utils.translation import gettext as _

from builds.fitting.actions.held import let_go
from builds.fitting.models import BuildPart
from builds.fitting.states import PartState
from builds.progress.models import Move
from builds.progress.queries import last_move, locked
from builds.progress.states import ENDINGS, UNDO_WITHIN, State
from shop.clock import ago
from shop.history.actions import record

_HAS_ENDED = Q(build__state__in=ENDINGS)
# Taken apart anew, a build may want other parts: until that is known, others may have these. What
# was reserved since it went back is wanted.
_WENT_BACK = Q(
    ~Q(moved_back=""),
    moved_to__in=(State.INTAKE, State.TEARDOWN),
    reservation__at__lt=F("moved_at"),
)


def release_due(now: datetime) -> int:
    """Free what is due; tells how many lines. Any number of times, at any moment."""
    waiting = _due(now).values_list("pk", "build").order_by("build", "pk")
    return sum(_release(part_id, build_id, now) for part_id, build_id in list(waiting))


def _due(now: datetime) -> QuerySet[BuildPart]:
    newest = Move.objects.filter(build=OuterRef("build")).order_by("-pk")
    held = BuildPart.objects.filter(
        ended_at=None, reservation__fitted_at=None, reservation__released_at=None,
        reservation__isnull=False,
    )  # fmt: skip
    return held.annotate(
        moved_at=Subquery(newest.values("at")[:1]),
        moved_to=Subquery(newest.values("to_state")[:1]),
        moved_back=Subquery(newest.values("caused_in")[:1]),
    ).filter(_HAS_ENDED | _WENT_BACK, ago("moved_at", UNDO_WITHIN, now))


@transaction.atomic
def _release(part_id: int, build_id: int, now: datetime) -> int:
    """Free one line, under its build's lock: whoever undoes or fits meanwhile is seen."""
    build = locked(build_id)
    found = _due(now).select_related("part", "reservation").filter(pk=part_id).first()
    move = last_move(build)
    if found is None or move is None or found.state != PartState.RESERVED:
        return 0
    where = build.get_state_display()
    why = _("back to %s") % where if build.is_open else where
    let_go(found, uuid5(move.token, f"part:{found.pk}"), why, move.by, now)
    record("part_released", build.about, None, now, part=found.name)
    return 1
