"""Tasks of the people room. Each may run twice, or die anywhere, without harm."""

from celery import shared_task

from shop.clock import now
from shop.people.actions import forget_what_ran_out


@shared_task
def sweep() -> None:
    """Let go of sessions that ran out and of counts that count no more."""
    forget_what_ran_out(now())
