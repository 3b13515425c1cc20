"""Puts the line in another order."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.progress.models import Build
from builds.progress.queries import open_builds
from builds.queue.actions.once import Refused, first_time
from builds.queue.effects import moved
from builds.queue.models import LinePlace
from builds.queue.queries.dues import dues
from builds.queue.queries.line import in_line
from shop.diary.queries import calendar
from shop.history.actions import record
from shop.history.queries import last_about
from shop.house.queries import house
from shop.people.models import User

LINE = "line"  # what history knows the order of the builds by


class Overtaken(Refused):
    """The line is no longer as the page showed it; says who was first, or what has changed."""


@transaction.atomic
def keep_order(
    build_id: int, to: str, after: int | None = None, *,
    seen: Sequence[int], token: UUID, by: User, now: datetime,
) -> bool:  # fmt: skip
    """Move one build in the line and write down the place of every build in it.

    :param seen: the builds in the order that the page showed.
    :raises Overtaken: they stand in another order by now, or others stand there.
    """
    if not first_time(token, LINE, by, now):
        return False
    here = in_line(
        open_builds(), dues([build.pk for build in open_builds()], calendar(house()), now)
    )
    if [build.pk for build in here] != list(seen):
        raise Overtaken(_what_changed(list(seen), [build.pk for build in here]))
    order = moved(list(seen), build_id, to, after)
    LinePlace.objects.all().delete()
    LinePlace.objects.bulk_create(
        LinePlace(build_id=key, place=place) for place, key in enumerate(order, 1)
    )
    build = next(each for each in here if each.pk == build_id)
    place = order.index(build_id) + 1
    record("line_moved", build.about, by, now, place=place)
    record("line_moved", LINE, by, now, place=place, build=str(build))
    return True


@transaction.atomic
def forget_order(*, token: UUID, by: User, now: datetime) -> bool:
    """Let every build stand by the day due again; the places that were set are forgotten."""
    if not first_time(token, LINE, by, now):
        return False
    if LinePlace.objects.all().delete()[0]:
        record("line_by_days", LINE, by, now)
    return True


def _what_changed(seen: list[int], here: list[int]) -> str:
    """Why a line is not as a page showed it, in one sentence."""
    if set(seen) != set(here):
        return _others_stand_there(set(seen) - set(here), set(here) - set(seen))
    placed = list(LinePlace.objects.filter(build__in=here).values_list("build", flat=True))
    last = last_about(LINE)
    # What was placed stands as the page showed it: the others have moved by their days alone.
    if seen[: len(placed)] == placed or not last or not last.actor:
        return _("The line has changed: it stands otherwise by the days due. Nothing was moved.")
    return _("%s put the line in another order first, so nothing was changed.") % last.actor.name


def _others_stand_there(gone: set[int], come: set[int]) -> str:
    known = {build.pk: str(build) for build in Build.objects.filter(pk__in=gone | come)}
    ended = ", ".join(sorted(known[pk] for pk in gone if pk in known))
    new = ", ".join(sorted(known[pk] for pk in come))
    changes = []
    if ended:
        sentence = ngettext("%s has ended", "%s have ended", len(gone))
        changes.append(sentence % ended)
    if new:
        changes.append(ngettext("%s is new in it", "%s are new in it", len(come)) % new)
    said = ", ".join(changes) or _("a build was removed")
    return _("The line has changed: %s. Nothing was moved.") % said
