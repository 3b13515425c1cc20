"""Moves builds on through their gates, and lets the owner pass a condition with a reason."""

from collections.abc import Sequence
from datetime import date, datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.actions import close_parcel, mark_left, mark_not_left
from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcel_of
from builds.gates.conditions import (
    LEAVE,
    START,
    Condition,
    conditions,
    ending_conditions,
)
from builds.gates.models import Pass
from builds.progress import actions as progress
from builds.progress.models import Build, Move, Tray
from builds.progress.states import State, next_stage
from shop.history.actions import record
from shop.models import User
from shop.post.actions import withdraw_by_cause


class Refused(ValueError):
    """A deed at a gate that cannot be, said in one sentence."""


class GateClosed(Refused):
    """The gate is shut: says what is missing."""

    def __init__(self, build: Build, missing: list[Condition]) -> None:
        self.build, self.missing = build, missing
        words = "; ".join(condition.text for condition in missing)
        super().__init__(
            _("%(number)s stays in %(where)s: %(missing)s.")
            % {"number": build, "where": build.get_state_display(), "missing": words}
        )


def _missing(build_id: int, trigger: str) -> list[Condition]:
    return [found for found in conditions([build_id], trigger)[build_id] if not found.is_open]


def _ask(build: Build, missing: list[Condition]) -> None:
    if missing:
        raise GateClosed(build, missing)


@transaction.atomic
def advance(build_id: int, *, token: UUID, expected: str, by: User, now: datetime) -> Move:
    """Move a build to its next stage, if its gate is open.

    The gate is asked under the build's lock, so that nothing can change between asking and moving.
    """
    build = progress.locked(build_id)
    to = next_stage(expected)
    if to is None:
        raise Refused(_("From dispatch a build leaves with its parcel, or is collected."))
    is_repeat = Move.objects.filter(token=token).exists()
    if not is_repeat and build.state == expected:
        _ask(build, _missing(build_id, LEAVE))
    return progress.move(build_id, token=token, expected=expected, to=to, by=by, now=now)


@transaction.atomic
def start(build_id: int, *, expected: str, by: User, now: datetime) -> Build:
    """Start the stage in which a build waits, if nothing forbids it."""
    build = progress.locked(build_id)
    if build.state == expected and build.started_at is None:
        _ask(build, _missing(build_id, START))
    return progress.start(build_id, expected=expected, by=by, now=now)


@transaction.atomic
def pack(build_ids: Sequence[int], *, day: date, token: UUID, by: User, now: datetime) -> Parcel:
    """Close a parcel around builds that lack nothing but the parcel.

    :raises GateClosed: something else is still missing for one of them.
    """
    builds = [progress.locked(build_id) for build_id in sorted(build_ids)]
    if not Parcel.objects.filter(token=token).exists():
        for build in builds:
            _ask(build, [lack for lack in _missing(build.pk, LEAVE) if lack.code != "parcel"])
    return close_parcel(builds, day=day, token=token, by=by, now=now)


@transaction.atomic
def leave(parcel_id: int, *, by: User, now: datetime) -> list[Move]:
    """Note that a parcel left: all of its builds are sent, or none.

    :raises GateClosed: a build in it may not leave.
    """
    parcel = mark_left(parcel_id, by, now)
    moves = []
    for packed in parcel.packed.filter(taken_out_at=None).select_related("build"):
        token = uuid5(parcel.token, f"{packed.build_id}:{packed.pk}:{parcel.left_at}")
        if packed.build.state == State.DISPATCH:
            _ask(packed.build, _missing(packed.build_id, LEAVE))
            moves.append(_send(packed.build, token, by, now))
    return moves


def _send(build: Build, token: UUID, by: User, now: datetime) -> Move:
    return progress.move(
        build.pk, token=token, expected=State.DISPATCH, to=State.SENT, by=by, now=now
    )


@transaction.atomic
def end(
    build_id: int, ending: str, *, token: UUID, expected: str, reason: str, by: User, now: datetime
) -> Move:
    """End a build: collected finished, or returned, withdrawn or abandoned unfinished."""
    build = progress.locked(build_id)
    if ending == State.SENT:
        raise Refused(_("A build is sent by ticking its parcel off on the dispatch day."))
    if build.state == expected and not Move.objects.filter(token=token).exists():
        finished = ending == State.COLLECTED
        asked = _missing(build_id, LEAVE) if finished else ending_conditions(build_id)
        _ask(build, [found for found in asked if not found.is_open])
    return progress.move(
        build_id, token=token, expected=expected, to=ending, by=by, now=now, reason=reason
    )


@transaction.atomic
def undo(move_id: int, *, token: UUID, by: User, now: datetime, tray: Tray | None = None) -> Move:
    """Take a move back: its messages are withdrawn, and a parcel that left has not left.

    A parcel leaves whole, so undoing one of its builds brings back all of them.
    """
    undone = Move.objects.select_related("build").get(pk=move_id)
    written = progress.undo(move_id, token=token, by=by, now=now, tray=tray)
    withdraw_by_cause(f"move:{move_id}")
    if undone.to_state == State.SENT:
        _bring_back(undone, by, now)
    return written


def _bring_back(undone: Move, by: User, now: datetime) -> None:
    parcel: Parcel | None = parcel_of([undone.build_id]).get(undone.build_id)
    if parcel is None or parcel.left_at is None:
        return
    mark_not_left(parcel.pk, by, now)
    others = Build.objects.filter(
        packed__parcel=parcel, packed__taken_out_at=None, state=State.SENT
    )
    for build in others:
        sent = build.moves.filter(to_state=State.SENT).order_by("-at", "-pk").first()
        if sent:
            progress.undo(sent.pk, token=uuid5(parcel.token, f"back:{sent.pk}"), by=by, now=now)
            withdraw_by_cause(f"move:{sent.pk}")


@transaction.atomic
def let_by(build_id: int, code: str, *, reason: str, by: User, now: datetime) -> Pass:
    """The owner passes one condition of the stage that a build is in, with a written reason.

    :raises Refused: nobody may pass it, it is met already, or the reason is missing.
    """
    build = progress.locked(build_id)
    if not by.is_owner:
        raise Refused(_("Only the owner can pass a condition."))
    if not reason.strip():
        raise Refused(_("Write down why it may pass; it stays in the history."))
    asked = {found.code: found for found in conditions([build_id])[build_id]}
    found = asked.get(code)
    if found is None or found.is_open:
        raise Refused(_("There is nothing to pass here any more."))
    if found.never_pass:
        raise Refused(_("Nobody can pass this one: %s.") % found.text)
    passed, is_new = Pass.objects.get_or_create(
        build=build, stage=build.state, code=code, defaults={"reason": reason, "by": by, "at": now}
    )
    if is_new:
        record("passed", build.about, by, now, code=code, stage=build.state, reason=reason)
    return passed
