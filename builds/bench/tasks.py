"""The clock's jobs that must know everything: the morning's list to the shop."""

from celery import shared_task

from builds.bench.actions.digest import send_digest
from shop.clock import now


@shared_task(name="builds.bench.tasks.digest")
def digest() -> None:
    """Send the shop, as it opens, what wants it."""
    send_digest(now())
