"""Keeps what was read for the next look, for as long as nothing at all was written since.

A shop writes a few times a minute, and its pages are looked at by everyone all day. Whether
something was written the database itself says, for all its tables and every process: SQLite by
``data_version`` and the connection's own count of changes, PostgreSQL by its snapshot. Each thread
keeps its own, with the connection that it was read over. Within a transaction nothing is kept.
"""

from collections.abc import Callable, Hashable
from datetime import datetime
from threading import local
from typing import Any, TypeVar

from django.db import connection
from django.utils.translation import get_language

Value = TypeVar("Value")
_thread = local()


def while_unchanged(name: Hashable, now: datetime, make: Callable[[], Value]) -> Value:
    """What ``make`` gives, or what it gave to an earlier look: never change it.

    :param now: kept for the rest of this minute at most, since days and limits end on minutes.
    """
    if connection.in_atomic_block:
        return make()
    # Asked before it is read: what is written meanwhile makes the next look read anew.
    stands = (_version(), now.replace(second=0, microsecond=0), get_language())
    kept: dict[Hashable, tuple[Any, Any]] = _thread.__dict__.setdefault("kept", {})
    if name in kept and kept[name][0] == stands:
        return kept[name][1]  # type: ignore[no-any-return]
    value = make()
    kept[name] = (stands, value)
    return value


def _version() -> Hashable:
    connection.ensure_connection()
    raw = connection.connection
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_current_snapshot()::text")
            return raw, str(cursor.fetchone()[0])
    # Past Django's cursor: it is no query of the page's.
    (others,) = raw.execute("PRAGMA data_version").fetchone()
    return raw, others, raw.total_changes
