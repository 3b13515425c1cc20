"""The clock's job around burn-in and rest."""

from celery import shared_task

from builds.proving.actions import tell_ended
from shop.clock import now


@shared_task(name="builds.proving.tasks.tell")
def tell() -> None:
    """Tell the shop of what has run its time."""
    tell_ended(now())
