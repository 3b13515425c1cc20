"""Changes the plan of gestures that is kept with a board in stores."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.handover.actions.gestures import FIELDS, put_up, seen_as
from builds.handover.models import BoardGesture
from builds.handover.refusals import Overtaken, Refused
from shop.history.actions import record
from shop.history.queries import made_once
from shop.people.models import User
from shop.stores.kinds import PartKind
from shop.stores.models import Part


@transaction.atomic
def add_line(
    part_id: int, values: Mapping[str, Any], *, token: UUID, by: User, now: datetime
) -> None:
    """Add a line to the plan of a board, once for one token.

    :raises Refused: the part is no sound board.
    """
    board = _board(part_id)
    if made_once(token):
        return
    said = {name: values[name] for name in FIELDS}
    line = BoardGesture.objects.create(
        part=board, position=_last(board, values["being"]) + 1, **said
    )
    record("once", f"once:{token}", by, now, made=f"boardgesture:{line.pk}")
    record("plan_line_added", board.about, by, now, wanted=line.wanted)


@transaction.atomic
def change_line(
    line_id: int, values: Mapping[str, Any], *, seen: str, by: User, now: datetime
) -> None:
    """Change what a line of a plan says. Builds that took it over keep what they took.

    :raises Overtaken: another tablet changed it.
    """
    line = _locked(line_id)
    if all(getattr(line, name) == values[name] for name in FIELDS) and not line.retired:
        return
    _check_seen(line, seen)
    if values["being"] != line.being:
        line.position = _last(line.part, values["being"]) + 1
    for name in FIELDS:
        setattr(line, name, values[name])
    line.save(update_fields=[*FIELDS, "position"])
    record("plan_line_changed", line.part.about, by, now, wanted=line.wanted)


@transaction.atomic
def move_line_up(line_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Let a line change places with the one before it in its state.

    :raises Overtaken: another tablet changed it.
    """
    line = _locked(line_id)
    _check_seen(line, seen)
    if put_up(
        BoardGesture.objects.filter(part=line.part, being=line.being, retired=False), line.pk
    ):
        record("plan_line_moved", line.part.about, by, now, wanted=line.wanted)


@transaction.atomic
def retire_line(line_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Offer a line to no more builds; those that took it over keep it.

    :raises Overtaken: another tablet changed it.
    """
    line = _locked(line_id)
    if line.retired:
        return
    _check_seen(line, seen)
    line.retired = True
    line.save(update_fields=["retired"])
    record("plan_line_retired", line.part.about, by, now, wanted=line.wanted)


@transaction.atomic
def bring_line_back(line_id: int, *, by: User, now: datetime) -> None:
    """Offer a retired line again; offered already, nothing happens."""
    line = _locked(line_id)
    if not line.retired:
        return
    line.retired = False
    line.save(update_fields=["retired"])
    record("plan_line_back", line.part.about, by, now, wanted=line.wanted)


def _board(part_id: int) -> Part:
    """The board, its row locked: the lines of its plan change one at a time."""
    part = Part.objects.select_for_update(of=("self",)).get(pk=part_id)
    if part.kind != PartKind.BOARD:
        raise Refused(_("A plan of gestures is kept with a sound board."))
    return part


def _locked(line_id: int) -> BoardGesture:
    board = _board(BoardGesture.objects.values_list("part", flat=True).get(pk=line_id))
    line = BoardGesture.objects.get(pk=line_id)
    line.part = board
    return line


def _last(board: Part, being: str) -> int:
    lines = BoardGesture.objects.filter(part=board, being=being).order_by("-position")
    return lines.values_list("position", flat=True).first() or 0


def _check_seen(line: BoardGesture, seen: str) -> None:
    if line.retired or seen_as(line) != seen:
        raise Overtaken(line.part.about)
