"""Burn-in and rest, as they run and as they end."""

from datetime import datetime

from builds.progress.states import State
from builds.proving.models import Timer


def running() -> list[Timer]:
    """Timers that nobody has stopped, of builds that are in test."""
    found = Timer.objects.filter(stopped_at=None, build__state=State.TEST)
    related = found.select_related("build__hilt", "build__tray", "begun_by")
    return list(related.order_by("begun_at"))


def timers_over(now: datetime) -> list[Timer]:
    """Of those, the ones that have run their time and wait for somebody."""
    return [timer for timer in running() if timer.over_at <= now]
