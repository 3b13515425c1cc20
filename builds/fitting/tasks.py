"""The clock's jobs around parts."""

from celery import shared_task

from builds.fitting.actions.releasing import release_due
from shop.clock import now


@shared_task(name="builds.fitting.tasks.release")
def release() -> None:
    """Free what is reserved for builds that ended or went back."""
    release_due(now())
