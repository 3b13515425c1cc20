"""Puts the line in another order."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.queries import open_builds
from builds.queue.actions.once import Refused, first_time
from builds.queue.effects import moved
from builds.queue.models import LinePlace
from builds.queue.queries.dues import dues
from builds.queue.queries.line import in_line
from shop.diary.queries import calendar
from shop.history.actions import record
from shop.history.models import Entry
from shop.history.queries import last_about
from shop.house.queries import house
from shop.people.models import User

LINE = "line"  # what history knows the order of the builds by


class Overtaken(Refused):
    """The line is no longer as the page showed it; says who was first."""

    def __init__(self, last: Entry | None) -> None:
        if last and last.actor:
            sentence = _("%s put the line in another order first, so nothing was changed.")
            super().__init__(sentence % last.actor.name)
        else:
            super().__init__(
                _("The line has changed since that page was shown, so nothing was changed.")
            )


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
        raise Overtaken(last_about(LINE))
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
