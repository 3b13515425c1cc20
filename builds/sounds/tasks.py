"""Tasks of sounds. Each may run twice, or die anywhere, without harm."""

from time import monotonic

from celery import shared_task

from builds.sounds.actions.looking import left_over, look_at_next
from shop.clock import now
from shop.web.wake import wake

SLICE_S = 12.0  # so long at a time, then what else waits has its turn


@shared_task(name="builds.sounds.tasks.look")
def look(set_id: int) -> None:
    """Look at files of a set for a while, and go on later."""
    until = monotonic() + SLICE_S
    while look_at_next(set_id, now()):
        if monotonic() > until:
            wake("builds.sounds.tasks.look", set_id)
            return


@shared_task(name="builds.sounds.tasks.sweep")
def sweep() -> None:
    """Wake what was never looked at to its end."""
    for set_id in left_over(now()):
        wake("builds.sounds.tasks.look", set_id)
