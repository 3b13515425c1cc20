"""The clock's jobs around promises."""

from celery import shared_task

from builds.queue import actions
from builds.queue.actions import reckoning, settling, warning
from shop.clock import now


@shared_task(name="builds.queue.tasks.remind")
def remind() -> None:
    """Queue the ship-by reminders that are due."""
    actions.remind(now())


@shared_task(name="builds.queue.tasks.chase")
def chase() -> None:
    """Remind the shop of the holds to ask about again."""
    actions.chase(now())


@shared_task(name="builds.queue.tasks.reckon")
def reckon() -> None:
    """Bring the forecast up to date, if anything has changed; tell of promises that fell by it."""
    moment = now()
    reckoning.reckon(moment)
    warning.warn(moment)


@shared_task(name="builds.queue.tasks.settle")
def settle() -> None:
    """Write down how the promises of builds that left have ended."""
    settling.settle(now())
