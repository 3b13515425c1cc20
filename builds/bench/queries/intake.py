"""What the Intake pages show."""

from datetime import datetime
from typing import Any

from builds.bench.queries.rows import rows
from builds.bench.queries.sheet import pictures
from builds.intake.models import Arrival
from builds.intake.queries import arrivals, unmatched
from builds.progress.queries import builds, open_builds
from builds.progress.states import State
from shop.diary.queries import Calendar


def overview(calendar: Calendar, now: datetime) -> dict[str, Any]:
    """Parcels without a build, builds that are expected or in intake, parcels of late."""
    found = rows(open_builds().filter(state__in=[State.BOOKED, State.INTAKE]), calendar, now)
    return {
        "unmatched": list(unmatched()[:20]),
        "expected": [row for row in found if row.build.state == State.BOOKED],
        "in_intake": [row for row in found if row.build.state == State.INTAKE],
        "lately": list(arrivals().prefetch_related("matches__build__hilt")[:10]),
    }


def arrival_of(arrival: Arrival, calendar: Calendar, now: datetime) -> dict[str, Any]:
    """Everything of one parcel."""
    held = builds().filter(matches__arrival=arrival, matches__ended_at=None).order_by("number")
    photos = list(arrival.photos.select_related("blob", "view"))
    return {
        "arrival": arrival,
        "rows": rows(held, calendar, now),
        "pictures": pictures(photos, State.INTAKE),
        "belongings": list(arrival.belongings.select_related("build")),
        "cells": list(arrival.cell_checks.select_related("by")),
    }
