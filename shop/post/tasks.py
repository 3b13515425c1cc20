"""Tasks of the post room. Each may run twice, or die anywhere, without harm."""

from time import monotonic

from celery import shared_task

from shop.clock import now
from shop.post import delivery
from shop.web.wake import wake

BATCH = 100
# Well within a task's time limit, with room for one server that answers late.
BUDGET_S = 20


@shared_task
def deliver(message_id: int) -> None:
    """Send one message, unless it has left, is being sent, or is not due yet."""
    delivery.deliver(message_id, now())


@shared_task
def sweep() -> None:
    """Send everything that is due: what no wake-up named, and what a dead worker left."""
    started = monotonic()
    delivery.bury_the_worn_out(now())
    for message_id in delivery.due(now(), BATCH):
        if monotonic() - started > BUDGET_S:
            wake("shop.post.tasks.sweep")
            return
        delivery.deliver(message_id, now())
