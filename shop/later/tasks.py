"""Tasks of the deeds that come later. Each may run twice, or die anywhere, without harm."""

from celery import shared_task

from shop.clock import now
from shop.later.actions import forget_old


@shared_task
def sweep() -> None:
    """Let go of keys that no browser sends any more."""
    forget_old(now())
