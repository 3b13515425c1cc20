"""Tasks of importing. The row is the job; each may run twice, or die anywhere, without harm."""

from celery import shared_task

from builds.importing.actions import begun, checking, keeping, undoing, working
from builds.importing.models import Import
from shop.clock import now
from shop.web.wake import wake

# A large sheet takes longer than what else the worker does; under the lease of a claim.
SOFT_S, HARD_S = 270, 300


@shared_task(soft_time_limit=SOFT_S, time_limit=HARD_S)
def go_on(import_id: int) -> None:
    """Do what one import waits for: its check, its rows brought in, or taken back."""
    checking.check(import_id, now())
    keeping.keep(import_id, now())
    undoing.undo(import_id, now())


@shared_task
def sweep() -> None:
    """Take up what no wake-up took, put back what failed, let go of what was forgotten."""
    working.give_up_the_worn_out(now())
    for import_id in working.waiting(now()):
        wake("builds.importing.tasks.go_on", import_id)
    for import_id in working.forgotten(now()):
        one = Import.objects.select_related("by").get(pk=import_id)
        begun.drop(import_id, by=one.by, now=now())
