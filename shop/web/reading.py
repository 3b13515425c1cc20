"""What one look at a page reads, read once: kept while it looks, and no longer.

A look at a page asks the same things of the database from many sides. What goes through ``once``
or ``each_once`` is read the first time and handed out again until the page is made. Nothing is
kept from one request to the next; deeds and tasks keep nothing beyond one reading of theirs. The
first statement that does anything but read ends the keeping: from there on every read is anew.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import Any, TypeVar

from django.db import connection
from django.http import HttpRequest, HttpResponse

Value = TypeVar("Value")
_kept: ContextVar[dict[Hashable, Any] | None] = ContextVar("kept", default=None)
_NOTHING = object()


class ReadOnce:
    """Keeps what a look reads, for the length of the look. Deeds read anew each time."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method not in {"GET", "HEAD"}:
            return self.get_response(request)
        with keeping():
            return self.get_response(request)


@contextmanager
def keeping() -> Iterator[None]:
    """Keep what is read inside, until something is written there.

    Around a reading that asks the same of the database from many sides, also within a deed; inside
    a look it is a part of what the look keeps.
    """
    if _kept.get() is not None:
        yield
        return
    before = _kept.set({})
    try:
        with connection.execute_wrapper(_watch):
            yield
    finally:
        _kept.reset(before)


@contextmanager
def anew() -> Iterator[None]:
    """Inside a look, read everything once more: for what is to outlive the look."""
    before = _kept.set(None if _kept.get() is None else {})
    try:
        yield
    finally:
        _kept.reset(before)


def _watch(
    execute: Callable[..., Any], sql: Any, params: Any, many: bool, context: dict[str, Any]
) -> Any:
    # Also a lock, and on SQLite the start of a transaction, which is one: somebody else may have
    # written while it was waited for.
    if not _only_reads(str(sql)):
        _kept.set(None)
    return execute(sql, params, many, context)


def _only_reads(sql: str) -> bool:
    return sql.startswith("SELECT") and " FOR UPDATE" not in sql


def once(read: Callable[[], Value]) -> Callable[[], Value]:
    """Read the same thing once a look."""

    @wraps(read)
    def reading() -> Value:
        return each_once(read, lambda _: {0: read()}, [0])[0]

    return reading


def each_once(
    name: Hashable, read: Callable[[list[int]], Mapping[int, Value]], ids: Iterable[int]
) -> dict[int, Value]:
    """Id → value, of which only those are read that this look has not read by that name yet."""
    wanted, kept = list(ids), _kept.get()
    if not wanted:
        return {}  # Django builds a whole query before it sees that nothing can answer it
    if kept is None:
        return dict(read(wanted))
    known = kept.setdefault(name, {})
    if lacking := [pk for pk in wanted if pk not in known]:
        found = read(lacking)
        known.update((pk, found.get(pk, _NOTHING)) for pk in lacking)
    return {pk: known[pk] for pk in wanted if known[pk] is not _NOTHING}
