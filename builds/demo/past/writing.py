"""Writes many rows at once: many values a statement on SQLite, COPY on PostgreSQL."""

from collections.abc import Sequence
from typing import Any

from django.core.management.color import no_style
from django.db import connection
from django.db.models import Field, Model

ROOM_KB = 256 * 1024


def take_room() -> None:
    """Let SQLite hold more of its indices in memory than a page of the shop needs."""
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute(f"PRAGMA cache_size = -{ROOM_KB}")


def columns(model: type[Model]) -> list[Field]:
    """The columns of a table that are written."""
    return [each for each in model._meta.concrete_fields if not each.generated]


def write(model: type[Model], rows: Sequence[Sequence[Any]]) -> None:
    """Put rows in, their values as the database takes them, in the order of the columns."""
    quote = connection.ops.quote_name
    names = ", ".join(quote(str(each.column)) for each in columns(model))
    table = quote(model._meta.db_table)
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            with cursor.cursor.copy(f"COPY {table} ({names}) FROM STDIN") as copy:
                for row in rows:
                    copy.write_row(row)
            return
        marks = ", ".join("?" * len(columns(model)))
        # Past Django's own cursor, which turns every %s into a ? first, once a row.
        raw = connection.connection.cursor()
        insert = f"INSERT INTO {table} ({names}) VALUES ({marks})"  # noqa: S608 - our own names
        raw.executemany(insert, rows)


def go_on(models: Sequence[type[Model]]) -> None:
    """Let the next row of each table take the next number, and the database know its tables."""
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), list(models)):
            cursor.execute(statement)
        cursor.execute("ANALYZE")
