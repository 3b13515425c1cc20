"""Rows of every table of the shop's own, as lines that both databases can write and read.

Why rows and not the database's own copy: a copy of a SQLite file is of no use to PostgreSQL nor
the other way round, and PostgreSQL's tool is not there in every container. Rows go both ways, are
compared table by table, and are read in one snapshot while people work. They are written and read
as the models stood at the migrations that the database had, so that a back-up of an older shop is
put in as it was and then brought up to date. Measured on two cores with SQLite: 68,000 rows a
second out, 35,000 in, a tenth of the database file's size; a long-lived shop has 250,000.

Left out: sessions (everyone signs in again; a back-up opens nobody's session) and what `migrate`
makes anew (content types, permissions); and the lists of back-ups and exports, which are of the
machine that these lie on.
"""

import base64
import gzip
import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from io import BytesIO
from itertools import islice
from typing import IO, Any
from uuid import UUID

from django.apps.registry import Apps
from django.db import connections, models, transaction
from django.db.migrations.loader import MigrationLoader
from django.utils.duration import duration_iso_string

APPS = ("shop", "builds")
LEFT_OUT = {"shop_session", "shop_backup", "shop_export"}
BATCH = 1000
Migrations = dict[str, list[str]]


@contextmanager
def snapshot(using: str) -> Iterator[None]:
    """See the database as it is at one moment, however much is written meanwhile.

    Nobody is held up: SQLite's readers and writers pass each other in WAL mode. Django's own
    `atomic` would take SQLite's write lock.
    """
    connection = connections[using]
    if connection.vendor == "postgresql":
        with transaction.atomic(using=using, durable=True), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
        return
    with connection.cursor() as cursor:
        cursor.execute("BEGIN DEFERRED")  # the moment is that of the first read
        try:
            yield
        finally:
            cursor.execute("ROLLBACK")


def applied(using: str) -> Migrations:
    """The migrations that the database has had."""
    had = MigrationLoader(connections[using]).applied_migrations
    return {app: sorted(name for label, name in had if label == app) for app in APPS}


def unknown(migrations: Migrations) -> bool:
    """Whether some are of a newer Hiltyard than this one."""
    here = MigrationLoader(None).disk_migrations
    return any((app, name) not in here for app, names in migrations.items() for name in names)


def is_short(migrations: Migrations) -> bool:
    """Whether the way through the migrations of today that stand for older ones passes here.

    A database that stopped on the way through those older ones stands at a point of its own.
    """
    had = _names(migrations)
    known = MigrationLoader(None).disk_migrations
    return all(set(each.replaces) <= had for each in known.values())


def _names(migrations: Migrations) -> set[tuple[str, str]]:
    return {(app, name) for app, names in migrations.items() for name in names}


def targets(migrations: Migrations) -> list[tuple[str, str]]:
    """The last ones, which stand for the rest."""
    short = is_short(migrations)
    found = MigrationLoader(None, replace_migrations=short)
    nodes = found.graph.node_map
    replacing = {key for key, each in found.disk_migrations.items() if each.replaces}
    had = _names(migrations) - replacing
    if short:
        had |= replacing  # all that they replace was had
    had &= nodes.keys()
    return sorted(
        key
        for key in had
        if not any(child.key in had and child.key[0] == key[0] for child in nodes[key].children)
    )


def models_at(migrations: Migrations) -> tuple[Apps, list[type[models.Model]]]:
    """The shop's models as they stood after some migrations."""
    graph = MigrationLoader(None, replace_migrations=is_short(migrations))
    apps = graph.project_state(targets(migrations)).apps
    every = apps.get_models(include_auto_created=True)
    kept = [each for each in every if each._meta.db_table not in LEFT_OUT]
    ours = [model for model in kept if model._meta.app_label in APPS and model._meta.managed]
    return apps, sorted(ours, key=lambda model: model._meta.db_table)


def _fields(model: type[models.Model]) -> list[Any]:
    return [field for field in model._meta.concrete_fields if not field.generated]


def dump(model: type[models.Model], into: IO[bytes], using: str) -> int:
    """Write a table: its columns, then a line a row; how many rows."""
    names = [field.attname for field in _fields(model)]
    rows = model._base_manager.using(using).order_by("pk").values_list(*names)
    count = 0
    with gzip.GzipFile(filename="", fileobj=into, mode="wb", compresslevel=6, mtime=0) as out:
        out.write(_line(names))
        for row in rows.iterator(BATCH):
            out.write(_line(row))
            count += 1
    return count


def _line(values: Any) -> bytes:
    text = json.dumps(values, ensure_ascii=False, separators=(",", ":"), default=_plain)
    return text.encode() + b"\n"


def _plain(value: Any) -> str:
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, UUID | Decimal):
        return str(value)
    if isinstance(value, timedelta):
        return duration_iso_string(value)
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(value).decode()
    raise TypeError(f"no line can hold a {type(value).__name__}")


def load(model: type[models.Model], packed: bytes, using: str) -> int:
    """Put the rows of a table in as they were, past every default; how many.

    Foreign keys are checked when the transaction ends, so tables may come in any order.
    """
    connection, fields = connections[using], {field.attname: field for field in _fields(model)}
    with gzip.GzipFile(fileobj=BytesIO(packed)) as lines, connection.cursor() as cursor:
        columns = [fields[name] for name in json.loads(lines.readline())]
        insert, count = _insert(model, columns, using), 0
        while batch := [
            [
                field.get_db_prep_save(field.to_python(value), connection)
                for field, value in zip(columns, json.loads(line), strict=True)
            ]
            for line in islice(lines, BATCH)
        ]:
            cursor.executemany(insert, batch)
            count += len(batch)
    return count


def _insert(model: type[models.Model], columns: list[Any], using: str) -> str:
    quote = connections[using].ops.quote_name
    names = ", ".join(quote(field.column) for field in columns)
    marks = ", ".join(["%s"] * len(columns))
    return f"INSERT INTO {quote(model._meta.db_table)} ({names}) VALUES ({marks})"


def last_id(model: type[models.Model], using: str) -> int:
    """The last number that the table gave to a row, even if the row is gone; 0 for none."""
    connection, table, key = connections[using], model._meta.db_table, model._meta.pk
    if not isinstance(key, models.AutoField):
        return 0
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT pg_get_serial_sequence(%s, %s)", [table, key.column])
            sequence = cursor.fetchone()[0]
            cursor.execute(f"SELECT CASE WHEN is_called THEN last_value ELSE 0 END FROM {sequence}")
        else:
            cursor.execute("SELECT max(seq) FROM sqlite_sequence WHERE name = %s", [table])
        return (cursor.fetchone() or [0])[0] or 0


def go_on_after(model: type[models.Model], last: int, using: str) -> None:
    """Let the next row take the next number: history and messages name rows by theirs."""
    connection, table, key = connections[using], model._meta.db_table, model._meta.pk
    if not last or key is None:
        return
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            sequence = "SELECT setval(pg_get_serial_sequence(%s, %s), %s)"
            cursor.execute(sequence, [table, key.column, last])
            return
        cursor.execute("DELETE FROM sqlite_sequence WHERE name = %s", [table])
        cursor.execute("INSERT INTO sqlite_sequence (name, seq) VALUES (%s, %s)", [table, last])
