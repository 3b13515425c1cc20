"""Tasks of the files room. Each may run twice, or die anywhere, without harm."""

from celery import shared_task

from shop.clock import now
from shop.files import actions, pieces, rendering
from shop.web.wake import wake

BATCH = 100


@shared_task
def render(blob_id: int) -> None:
    """Make the pictures of one blob, unless they are made."""
    rendering.render(blob_id, now())


@shared_task
def sweep() -> None:
    """Wake what was never rendered, and give up on what was tried too often."""
    for blob_id in rendering.left_over(now(), BATCH):
        wake("shop.files.tasks.render", blob_id)


@shared_task
def sweep_orphans() -> None:
    """Delete originals whose row was never written, and uploads that nobody went on with."""
    actions.sweep_orphans(now())
    pieces.sweep_pieces(now())
