"""Writes down how a hilt looked when it came. Entered through builds.intake.actions."""

from datetime import datetime, timedelta
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from builds.intake.handing import came_with
from builds.intake.models import ConditionNote, Photo
from builds.intake.refusals import Refused
from builds.progress.actions import locked
from builds.progress.models import Build
from shop.clock import lately
from shop.history.actions import record
from shop.people.models import User

SECOND_TAP = timedelta(minutes=1)


@transaction.atomic
def note_condition(
    build: Build,
    *,
    section: str,
    grade: str,
    words: str,
    by: User,
    now: datetime,
    photo: Photo | None = None,
    mark: tuple[float, float] | None = None,
) -> ConditionNote:
    """Write down how a section of the hilt looks. A second tap within a minute is the same note.

    :param mark: the point on the photo as it stands upright, in fractions of width and height.
    :raises Refused: the photo is another build's.
    """
    if photo and photo.build_id != build.pk:
        raise Refused(_("That photo is not one of %(number)s.") % {"number": build})
    across, down = mark if photo and mark else (None, None)
    build = locked(build.pk)  # taps at the same moment wait here for each other
    facts: dict[str, Any] = {"section": section, "grade": grade, "words": words, "by": by}
    facts |= {"photo": photo, "mark_x": across, "mark_y": down}
    again = build.condition_notes.filter(lately("at", SECOND_TAP, now), **facts).first()
    if again:
        return again
    note = ConditionNote.objects.create(build=build, **facts, came_by=came_with(build), at=now)
    record("condition_noted", build.about, by, now, section=section, grade=grade)
    return note
