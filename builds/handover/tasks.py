"""Tasks of the hand-over. Each may run twice, or die anywhere, without harm."""

from celery import shared_task

from builds.handover.actions.looking import left_over, look_on
from shop.clock import now
from shop.web.wake import wake

LOOK = "builds.handover.tasks.look"


@shared_task(name=LOOK, soft_time_limit=50, time_limit=55)
def look(film_id: int) -> None:
    """Do one step for a film, and go on later, so that what else waits has its turn."""
    if look_on(film_id, now()):
        wake(LOOK, film_id)


@shared_task(name="builds.handover.tasks.sweep")
def sweep() -> None:
    """Wake what was never looked at to its end."""
    for film_id in left_over(now()):
        wake(LOOK, film_id)
