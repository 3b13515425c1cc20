"""One id a request, by which its lines and those of the tasks that it wakes are found again."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

TASK_HEADER = "woken_by"  # carries the id along with a task
_id: ContextVar[str] = ContextVar("request_id", default="")


def current() -> str:
    """The id of what is being worked on; empty outside of requests and tasks."""
    return _id.get()


def begin(request_id: str) -> None:
    """Let every line of this thread bear an id, until the next one."""
    _id.set(request_id)


@contextmanager
def working_on(request_id: str) -> Iterator[None]:
    """Let every line inside bear an id."""
    before = _id.set(request_id)
    try:
        yield
    finally:
        _id.reset(before)
