"""Tasks of forgetting. Each may run twice, or die anywhere, without harm."""

from celery import shared_task

from builds.forgetting.actions.unnaming import drop_names
from shop.clock import now


@shared_task
def drop() -> None:
    """Let names go whose years are over."""
    drop_names(now())
