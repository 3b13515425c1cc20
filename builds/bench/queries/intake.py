"""What the Intake pages show."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db.models import QuerySet
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from builds.bench.queries.pictures import pictures_of_parcel
from builds.bench.queries.rows import rows
from builds.handover.queries.returns import causes_of, waiting
from builds.intake.models import Arrival
from builds.intake.queries import arrivals, unmatched
from builds.progress.models import Build
from builds.progress.queries import builds, open_builds
from builds.progress.states import State
from shop.diary.queries import Calendar


@dataclass(frozen=True)
class Lead:
    """What comes next at a parcel, in words, and where on its page that is done."""

    words: str | Promise
    deed: str | Promise
    part: str


_BOX = Lead(_("What else was in the box?"), _("Note belongings"), "#belongings")
_CELL = Lead(_("Is a cell inside?"), _("Check the cell"), "#cell")
_WHOSE = Lead(_("Whose hilt is it?"), _("Say whose it is"), "#match")


def overview(calendar: Calendar, now: datetime) -> dict[str, Any]:
    """Parcels without a build, builds that are expected or in intake, parcels of late."""
    found = rows(open_builds().filter(state__in=[State.BOOKED, State.INTAKE]), calendar, now)
    return {
        "unmatched": list(unmatched()[:20]),
        "announced": list(waiting()[:20]),
        "expected": [row for row in found if row.build.state == State.BOOKED and not row.is_here],
        "in_intake": [row for row in found if row.build.state == State.INTAKE or row.is_here],
        "lately": list(arrivals().prefetch_related("matches__build__hilt")[:10]),
    }


def arrival_of(arrival: Arrival, calendar: Calendar, now: datetime) -> dict[str, Any]:
    """Everything of one parcel."""
    held = list(held_in(arrival))
    pictures = pictures_of_parcel(arrival, held)
    belongings = list(arrival.belongings.select_related("build"))
    cells = list(arrival.cell_checks.select_related("by"))
    steps = (
        (bool(belongings) or arrival.nothing_else, _BOX),
        (bool(cells) or bool(held), _CELL),
        (bool(held), _WHOSE),
    )
    return {
        "arrival": arrival,
        "harmed": [] if cells else harmed(held),
        "rows": rows(held, calendar, now),
        "pictures": pictures,
        "belongings": belongings,
        "cells": cells,
        # While views are missing, the camera itself leads.
        "lead": None if pictures.missing else _first_open(steps),
        "announced": [] if held else list(waiting()[:20]),
    }


def harmed(found: Iterable[Build]) -> list[Build]:
    """Those whose owner told of a harmed cell: their box is opened with care."""
    of_them = list(found)
    causes = causes_of(of_them)
    return [one for one in of_them if one.pk in causes and causes[one.pk].is_harmed]


def _first_open(steps: Iterable[tuple[bool, Lead]]) -> Lead | None:
    return next((lead for is_done, lead in steps if not is_done), None)


def held_in(arrival: Arrival) -> QuerySet[Build]:
    """The builds whose hilts came in a parcel."""
    return builds().filter(matches__arrival=arrival, matches__ended_at=None).order_by("number")
