"""Several parts placed at once: all of them, or none."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from builds.fitting.actions.parts import place
from builds.fitting.models import BuildPart
from builds.fitting.refusals import NotPlaced, Refused
from builds.hilts.models import Section
from shop.people.models import User


@dataclass(frozen=True)
class Placing:
    """Where one part goes."""

    part: BuildPart
    section: Section | None
    position: int
    lies_on: int | None  # the key of the part that it lies on


@transaction.atomic
def place_all(placings: Iterable[Placing], *, by: User, now: datetime) -> list[BuildPart]:
    """Say where several parts sit.

    :raises NotPlaced: with a sentence for each that cannot sit there; nothing is changed.
    """
    placed, wrong = [], {}
    for each in placings:
        # Read anew: what it lies on may have been placed a moment ago.
        under = BuildPart.objects.filter(pk=each.lies_on).first()
        try:
            placed.append(place(each.part, each.section, each.position, under, by=by, now=now))
        except Refused as error:
            wrong[each.part.pk] = str(error)
    if wrong:
        raise NotPlaced(wrong)
    return placed
