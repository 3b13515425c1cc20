"""Wakes a task by its name once the transaction is through.

The row is the job and a sweep finds what was not woken, so a broker that is down costs a delay
and never an error on a screen.
"""

import logging

from celery import current_app
from django.db import transaction

from shop.web import traced

log = logging.getLogger("hiltyard.wake")


def wake(task: str, *ids: int) -> None:
    """Send a task by name with ids, on commit."""
    # Read now: on commit of a caller's transaction it is still the same request.
    request_id = traced.current()
    transaction.on_commit(lambda: _send(task, ids, request_id))


def _send(task: str, ids: tuple[int, ...], request_id: str) -> None:
    try:
        headers = {traced.TASK_HEADER: request_id}
        current_app.send_task(task, args=ids, retry=False, headers=headers)
    except Exception as error:  # Whatever the broker raises, the sweep covers it
        log.warning("%s was not woken (%s); the sweep will find it", task, type(error).__name__)
