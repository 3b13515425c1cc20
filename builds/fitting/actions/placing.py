"""Several parts placed at once: all of them, or none."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import held
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
    starts_mm: float | None = None


@transaction.atomic
def place_all(placings: Iterable[Placing], *, by: User, now: datetime) -> list[BuildPart]:
    """Say where several parts sit.

    :raises NotPlaced: with a sentence for each that cannot sit there; nothing is changed.
    """
    placed, wrong = [], {}
    for each in placings:
        # Read anew: what it lies on may have been placed a moment ago.
        under = BuildPart.objects.filter(pk=each.lies_on or 0).first()
        try:
            placed.append(
                place(
                    each.part, each.section, each.position, under, by=by, now=now,
                    starts_mm=each.starts_mm,
                )
            )  # fmt: skip
        except Refused as error:
            wrong[each.part.pk] = str(error)
    if wrong:
        raise NotPlaced(wrong)
    return placed


@transaction.atomic
def put_behind(part: BuildPart, starts_mm: float, *, by: User, now: datetime) -> BuildPart:
    """Let a part that sits somewhere begin farther back. Done twice is done once."""
    found = held(part.pk)
    if found.section is None:
        raise Refused(_("%s sits nowhere yet. Place it first.") % found.name)
    return place(
        found, found.section, found.position, found.lies_on, by=by, now=now, starts_mm=starts_mm
    )
