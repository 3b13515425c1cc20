"""Counts tries in the database and says when there were too many."""

from datetime import datetime, timedelta
from hashlib import sha256

from django.db import transaction
from django.db.models import F

from shop import clock
from shop.web.models import Throttle

LONGEST_SPAN = timedelta(days=1)  # no limit counts over a longer one


def allow(what: str, who: str, at_most: int, within: timedelta, now: datetime) -> bool:
    """Count one try; False when there were already ``at_most`` within the span."""
    key = sha256(f"{what}\0{who}".encode()).hexdigest()
    with transaction.atomic():
        row, _ = Throttle.objects.select_for_update().get_or_create(
            key=key, defaults={"since": now}
        )
        if not clock.within(row.since, within, now):
            row.since, row.count = now, 0
        row.count += 1
        row.save(update_fields=["since", "count"])
    return row.count <= at_most


def give_back(what: str, who: str) -> None:
    """Take one try back that came to nothing."""
    key = sha256(f"{what}\0{who}".encode()).hexdigest()
    Throttle.objects.filter(key=key, count__gt=0).update(count=F("count") - 1)


def sweep(now: datetime) -> None:
    """Let go of counts that no span reaches back to."""
    Throttle.objects.filter(clock.ago("since", LONGEST_SPAN, now)).delete()


def forget(what: str, who: str) -> None:
    """Start counting anew, as after a sign-in that succeeded."""
    Throttle.objects.filter(key=sha256(f"{what}\0{who}".encode()).hexdigest()).delete()


def forget_all() -> None:
    """Let go of every count: whoever does this stands at the machine."""
    Throttle.objects.all().delete()
