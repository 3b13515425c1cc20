"""Tasks of keeping: they only look; a process of its own does what takes long."""

from celery import shared_task

from shop.clock import now
from shop.keeping.actions.clockwork import look as look_at


@shared_task
def look() -> None:
    """See whether a back-up is due or something was asked for, and have it done."""
    look_at(now())
