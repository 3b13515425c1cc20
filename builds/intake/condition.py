"""Writes down how a hilt looked when it came. Entered through builds.intake.actions."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.intake.handing import came_with
from builds.intake.models import ConditionNote, Photo
from builds.intake.refusals import Refused
from builds.progress.models import Build
from shop.history.actions import record
from shop.people.models import User


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
    """Write down how a section of the hilt looks.

    :param mark: the point on the photo as it stands upright, in fractions of width and height.
    :raises Refused: the photo is another build's.
    """
    if photo and photo.build_id != build.pk:
        raise Refused(_("That photo is not one of %(number)s.") % {"number": build})
    across, down = mark if photo and mark else (None, None)
    note = ConditionNote.objects.create(
        build=build,
        section=section,
        grade=grade,
        words=words,
        photo=photo,
        mark_x=across,
        mark_y=down,
        came_by=came_with(build),
        by=by,
        at=now,
    )
    record("condition_noted", build.about, by, now, section=section, grade=grade)
    return note
