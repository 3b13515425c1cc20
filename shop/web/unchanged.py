"""Keeps what was read for the next look, for as long as nothing at all was written since.

A shop writes a few times a minute, and its pages are looked at by everyone all day. Whether
something was written the database itself says, for all its tables and every process: SQLite by
``data_version``, PostgreSQL by its snapshot. One process keeps one copy, for all its threads.
Within a transaction nothing is kept.
"""

import os
import sqlite3
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import datetime
from threading import Lock, RLock
from typing import Any, TypeVar
from urllib.parse import quote

from django.db import connection
from django.utils.translation import get_language

from shop.web.reading import anew

Value = TypeVar("Value")


@dataclass
class _Kept:
    """One thing that is kept. Its lock lets one thread make it and the others wait for that."""

    of: tuple[Hashable, Any] = (None, None)  # how things stood, and the value: put there at once
    making: RLock = field(default_factory=RLock)


@dataclass
class _Watching:
    """A connection that only looks whether others wrote: all that write are others to it."""

    path: str
    process: int
    raw: sqlite3.Connection
    asking: Lock = field(default_factory=Lock)

    def version(self) -> Hashable:
        with self.asking:
            (others,) = self.raw.execute("PRAGMA data_version").fetchone()
        return self.path, self.process, others


_kept: dict[Hashable, _Kept] = {}
# The last one watches. An older one is never closed: it may be that of the process that forked.
_watching: list[_Watching] = []
_opening = Lock()
_unwritten: ContextVar[bool] = ContextVar("unwritten", default=False)


def while_unchanged(name: Hashable, now: datetime, make: Callable[[], Value]) -> Value:
    """What ``make`` gives, or what it gave to an earlier look: never change it.

    :param now: kept for the rest of this minute at most, since days and limits end on minutes.
    """
    if connection.in_atomic_block:
        return make()
    # By language: two who read different ones must not keep throwing out what the other needs.
    kept = _kept.setdefault((name, get_language()), _Kept())
    with kept.making:
        # Asked before it is read: what is written meanwhile makes the next look read anew. And
        # read anew it is: what this look read before that may be older than how things stand.
        stands = _stands(now)
        if kept.of[0] != stands:
            with anew():
                kept.of = stands, make()
        return kept.of[1]  # type: ignore[no-any-return]


def last_seen(name: Hashable, now: datetime) -> Any:
    """What is kept by a name and still stands, else None.

    Within a transaction only before the first thing is written there (``is_unwritten``): the rest
    of it is as good as read there and then, under the lock that it holds.
    """
    kept = _kept.get((name, get_language()))
    if kept is None:
        return None
    stood, value = kept.of
    return value if stood is not None and stood == _stands(now) else None


def is_unwritten() -> bool:
    """Whether nothing that a page reads was written yet in the transaction at hand, if any."""
    return not connection.in_atomic_block or _unwritten.get()


@contextmanager
def until_written() -> Iterator[None]:
    """Around what follows in a transaction that has written nothing that a page reads."""
    mark = _unwritten.set(True)
    try:
        with connection.execute_wrapper(_watch):
            yield
    finally:
        _unwritten.reset(mark)


def _watch(
    execute: Callable[..., Any], sql: Any, params: Any, many: bool, context: dict[str, Any]
) -> Any:
    if not str(sql).startswith(("SELECT", "SAVEPOINT", "RELEASE")):
        _unwritten.set(False)
    return execute(sql, params, many, context)


def _stands(now: datetime) -> Hashable:
    return _version(), now.replace(second=0, microsecond=0)


def _version() -> Hashable:
    connection.ensure_connection()
    # What SQLite says past Django's cursor is a trouble of the database like any other.
    with connection.wrap_database_errors:
        return _version_now()


def _version_now() -> Hashable:
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_current_snapshot()::text")
            return str(connection.settings_dict["NAME"]), str(cursor.fetchone()[0])
    watching = _watched(str(connection.settings_dict["NAME"]))
    if watching is None:
        return _own_version()
    return watching.version()


def _own_version() -> Hashable:
    """Of a database in memory: by the connection at hand, which alone knows it."""
    raw = connection.connection  # past Django's cursor: it is no query of the page's
    (others,) = raw.execute("PRAGMA data_version").fetchone()
    return id(raw), others, raw.total_changes


def _watched(path: str) -> _Watching | None:
    """The connection that watches a file; a process that was forked opens its own."""
    with _opening:
        if _watching and (_watching[-1].path, _watching[-1].process) == (path, os.getpid()):
            return _watching[-1]
        if not os.path.exists(path):
            return None
        raw = sqlite3.connect(f"file:{quote(path)}?mode=ro", uri=True, check_same_thread=False)
        _watching.append(_Watching(path, os.getpid(), raw))
        return _watching[-1]
