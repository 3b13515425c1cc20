"""Promises a warranty as a build leaves, and takes it back with the leaving."""

from datetime import datetime

from django.db import transaction

from builds.handover.models import Warranty
from builds.handover.queries.warranty import last_day
from builds.progress.models import Build
from shop.clock import day_in
from shop.history.actions import record
from shop.house.queries import house
from shop.people.models import User


@transaction.atomic
def promise_warranty(build: Build, *, by: User, now: datetime) -> Warranty | None:
    """Keep until when a build that leaves now is under warranty, in the words of now.

    Later changes of the settings leave it as it was promised. Promised twice is once.
    """
    shop = house()
    left_on = day_in(shop.zone, now)
    ends = last_day(build, left_on, shop)
    if ends is None:
        return None
    promised, is_new = Warranty.objects.get_or_create(
        build=build,
        defaults={"left_on": left_on, "last_day": ends, "words": shop.warranty_words},
    )
    if is_new:
        record("warranty_promised", build.about, by, now, day=ends.isoformat())
    return promised


@transaction.atomic
def withdraw_warranty(build: Build) -> None:
    """It has not left after all; the move that says so stands in the history."""
    Warranty.objects.filter(build=build).delete()
