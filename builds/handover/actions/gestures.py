"""Changes the gestures of a build: taken over, written, tried on the actual unit, dropped."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from hashlib import sha256
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.handover.models import Gesture
from builds.handover.queries.gestures import (
    TRIED_IN,
    Line,
    as_told,
    boards_in,
    earlier_builds,
    is_tried,
    not_here_yet,
    offered,
    words_of,
)
from builds.handover.refusals import Overtaken, Refused
from builds.progress.models import Build
from builds.progress.queries import back_since, locked
from shop.history.actions import record
from shop.history.queries import made_once
from shop.people.models import User

FIELDS = ("being", "wanted", "do", "see", "hear", "out")


def seen_as(line: Line) -> str:
    """What a form carries of a line as it was shown, to notice another tablet."""
    return sha256("\n".join(words_of(line)).encode()).hexdigest()[:16]


@transaction.atomic
def take_over(build_id: int, *, by: User, now: datetime) -> int:
    """Take over what the plans of the build's boards say and it never had. Twice is once."""
    build = _open(build_id)
    lines = offered(build, boards_in(build))
    for line in lines:
        _write(build, {**_said(line), "plan": line})
    if lines:
        record("gestures_taken_over", build.about, by, now, count=len(lines))
    return len(lines)


@transaction.atomic
def copy_gestures(build_id: int, source_id: int, *, by: User, now: datetime) -> int:
    """Begin with the gestures of an earlier build of the same hilt. Twice is once.

    :raises Refused: the other build is of another hilt.
    """
    build = _open(build_id)
    source = next((each for each in earlier_builds(build) if each.pk == source_id), None)
    if source is None:
        raise Refused(_("Gestures are taken over between builds of one hilt alone."))
    lines = not_here_yet(build, source)
    for line in lines:
        _write(build, {**_said(line), "plan": line.plan})
    if lines:
        record("gestures_copied", build.about, by, now, count=len(lines), source=str(source))
    return len(lines)


@transaction.atomic
def add_gesture(
    build_id: int, values: Mapping[str, Any], *, token: UUID, by: User, now: datetime
) -> None:
    """Add a line of the build's own, once for one token."""
    build = _open(build_id)
    if made_once(token):
        return
    line = _write(build, {name: values[name] for name in FIELDS})
    record("once", f"once:{token}", by, now, made=f"gesture:{line.pk}")
    record("gesture_added", build.about, by, now, wanted=line.wanted)


@transaction.atomic
def change_gesture(
    gesture_id: int, values: Mapping[str, Any], *, seen: str, by: User, now: datetime
) -> bool:
    """Change what a line says; whether a tick went with it, since what was tried said otherwise.

    :raises Overtaken: another tablet changed it.
    """
    line = _standing(gesture_id)
    if all(getattr(line, name) == values[name] for name in FIELDS) and not line.ended_at:
        return False
    _check_seen(line, seen)
    was_tried = line.tried_at is not None
    if values["being"] != line.being:
        line.position = _last(line.build, values["being"]) + 1
    for name in FIELDS:
        setattr(line, name, values[name])
    line.tried_at = line.tried_by = None
    line.save(update_fields=[*FIELDS, "position", "tried_at", "tried_by"])
    record("gesture_changed", line.build.about, by, now, wanted=line.wanted)
    return was_tried


@transaction.atomic
def try_gesture(gesture_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Say that a line was tried on the actual unit and is so; said already, it stays so.

    :raises Overtaken: another tablet changed it: what was tried is not what stands here.
    :raises Refused: the parts are not in the hilt.
    """
    line = _standing(gesture_id)
    _check_seen(line, seen)
    if line.build.state not in TRIED_IN:
        raise Refused(_("It is tried on the hilt with its parts in, from install on."))
    if is_tried(line, back_since([line.build_id]).get(line.build_id)):
        return
    line.tried_at, line.tried_by = now, by
    line.save(update_fields=["tried_at", "tried_by"])
    record("gesture_tried", line.build.about, by, now, wanted=line.wanted)


@transaction.atomic
def untry_gesture(gesture_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Take a tick back; not ticked, nothing happens."""
    line = _standing(gesture_id)
    _check_seen(line, seen)
    if line.tried_at is None:
        return
    line.tried_at = line.tried_by = None
    line.save(update_fields=["tried_at", "tried_by"])
    record("gesture_untried", line.build.about, by, now, wanted=line.wanted)


@transaction.atomic
def move_gesture_up(gesture_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Let a line change places with the one before it in its state.

    :raises Overtaken: another tablet changed it.
    """
    line = _standing(gesture_id)
    _check_seen(line, seen)
    beside = line.build.gestures.filter(ended_at=None, being=line.being)
    if put_up(beside, line.pk):
        record("gesture_moved", line.build.about, by, now, wanted=line.wanted)


@transaction.atomic
def end_gesture(gesture_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Drop a line: this hilt does not do that. Dropped already, nothing happens.

    :raises Overtaken: another tablet changed it.
    """
    line = _standing(gesture_id)
    if line.ended_at:
        return
    _check_seen(line, seen)
    line.ended_at = now
    line.save(update_fields=["ended_at"])
    record("gesture_ended", line.build.about, by, now, wanted=line.wanted)


@transaction.atomic
def bring_gesture_back(gesture_id: int, *, by: User, now: datetime) -> None:
    """Let a dropped line stand again, to be tried anew; standing already, nothing happens."""
    line = _standing(gesture_id)
    if line.ended_at is None:
        return
    line.ended_at = line.tried_at = line.tried_by = None
    line.save(update_fields=["ended_at", "tried_at", "tried_by"])
    record("gesture_back", line.build.about, by, now, wanted=line.wanted)


def put_up(beside: Iterable[Line], pk: int) -> bool:
    """Number lines of one state anew, one of them a place earlier; whether there was a place."""
    lines = sorted(beside, key=as_told)
    at = next(place for place, line in enumerate(lines) if line.pk == pk)
    if at == 0:
        return False
    lines[at - 1], lines[at] = lines[at], lines[at - 1]
    for place, line in enumerate(lines, start=1):
        line.position = place
        line.save(update_fields=["position"])
    return True


def _said(line: Line) -> dict[str, Any]:
    return {name: getattr(line, name) for name in FIELDS}


def _write(build: Build, values: Mapping[str, Any]) -> Gesture:
    position = _last(build, values["being"]) + 1
    return Gesture.objects.create(build=build, position=position, **values)


def _last(build: Build, being: str) -> int:
    lines = build.gestures.filter(being=being).order_by("-position")
    return lines.values_list("position", flat=True).first() or 0


def _open(build_id: int) -> Build:
    build = locked(build_id)
    if not build.is_open:
        raise Refused(_("This build has ended; its gestures stay as they are."))
    return build


def _standing(gesture_id: int) -> Gesture:
    """The line of an open build, the build locked."""
    build = _open(Gesture.objects.values_list("build", flat=True).get(pk=gesture_id))
    line = Gesture.objects.get(pk=gesture_id)
    line.build = build
    return line


def _check_seen(line: Gesture, seen: str) -> None:
    if line.ended_at or seen_as(line) != seen:
        raise Overtaken(line.build.about)
