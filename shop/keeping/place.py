"""The place that a shop is put back into: whether it is empty, and its database made from nothing.

While the folder `restoring` lies in the data folder, the place is not whole: no other command
runs. The database comes last, so where it holds a shop, everything else is there.
"""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.apps import apps
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db import connections, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from shop import env, folder
from shop.append_only import SWITCH
from shop.keeping.archive import Refused
from shop.keeping.rows import APPS, LEFT_OUT, Migrations, is_short, targets

DEFAULT, FRESH = "default", "being_restored"
PATIENCE_MS = 10_000
# What a line of the env file says of the machine and not of the shop.
OF_THE_MACHINE = {
    "DATABASE_URL", "REDIS_URL", "SECRET_KEY_FILE", "LINK_KEY_FILE",
    "MEDIA_STORE", "MEDIA_KEY_ID", "MEDIA_SECRET", "MEDIA_SECRET_FILE",
    "BACKUP_FOLDER", "BACKUP_SECOND_FOLDER", "BACKUP_PASSPHRASE",
}  # fmt: skip


def holds_a_shop() -> bool:
    """Whether the database has a row of the shop's own."""
    connection = connections[DEFAULT]
    ours = {model._meta.db_table for app in APPS for model in apps.get_app_config(app).get_models()}
    with connection.cursor() as cursor:
        there = ours & set(connection.introspection.table_names(cursor))
        for table in sorted(there - LEFT_OUT):
            cursor.execute(f"SELECT 1 FROM {connection.ops.quote_name(table)} LIMIT 1")
            if cursor.fetchone():
                return True
    return False


def holds_media() -> bool:
    """Whether files are kept here already."""
    return next(_files(), None) is not None


def _files() -> Iterator[str]:
    for top in ("originals", "renditions"):
        for one in _folders(top):
            yield from (
                f"{top}/{one}/{file}" for file in default_storage.listdir(f"{top}/{one}")[1]
            )


def _folders(top: str) -> list[str]:
    try:
        return default_storage.listdir(top)[0]
    except FileNotFoundError:  # an object store says that there are none instead
        return []


@contextmanager
def marked() -> Iterator[Path]:
    """Mark an empty place as not whole, and empty it again if it does not become so.

    Only a kill leaves the mark behind; what it has put in place is taken away by the next try.
    """
    mark = folder.restoring()
    if mark.exists():
        _empty()
    mark.mkdir(mode=0o700)
    folder.sync(mark.parent)
    try:
        yield mark
    except BaseException:
        _empty()
        raise
    unmark()


def unmark() -> None:
    """Take the mark away."""
    shutil.rmtree(folder.restoring(), ignore_errors=True)


def _empty() -> None:
    for name in list(_files()):
        default_storage.delete(name)
    unmark()


@contextmanager
def new_database(migrations: Migrations, mark: Path) -> Iterator[str]:
    """An empty database as it stood after some migrations; the shop's own when all has gone well.

    PostgreSQL: one transaction. SQLite: a file beside, renamed last.
    """
    if connections[DEFAULT].vendor == "postgresql":
        with transaction.atomic(using=DEFAULT, durable=True):
            _clear()
            _migrate_to(migrations, DEFAULT)
            yield DEFAULT
        return
    with _spare(mark / "hiltyard.sqlite3") as path:
        _migrate_to(migrations, FRESH)
        yield FRESH
    folder.sync(path)
    _put_in_place(path)


def bring_up_to_date(using: str) -> None:
    """Run the migrations that came after the back-up."""
    connections[using].check_constraints()
    call_command("migrate", database=using, interactive=False, verbosity=0)


def _clear() -> None:
    # A start or `migrate` has made tables that are empty, perhaps of another version.
    connection = connections[DEFAULT]
    with connection.cursor() as cursor:
        cursor.execute(f"SET LOCAL lock_timeout = {PATIENCE_MS}")
        known = {*connection.introspection.django_table_names(), SWITCH, "django_migrations"}
        for table in known & set(connection.introspection.table_names(cursor)):
            cursor.execute(f"DROP TABLE {connection.ops.quote_name(table)} CASCADE")


def _migrate_to(migrations: Migrations, using: str) -> None:
    executor = MigrationExecutor(connections[using])
    executor.loader = MigrationLoader(connections[using], replace_migrations=is_short(migrations))
    executor.migrate(targets(migrations))


@contextmanager
def _spare(path: Path) -> Iterator[Path]:
    """A second SQLite database. It may be fast and forgetful: it counts for nothing until it is
    whole, and is synced then."""
    fast = "PRAGMA journal_mode=MEMORY; PRAGMA synchronous=OFF; PRAGMA temp_store=MEMORY;"
    options = {"transaction_mode": "IMMEDIATE", "init_command": fast}
    known: dict[str, Any] = connections.databases
    known[FRESH] = {**known[DEFAULT], "NAME": str(path), "OPTIONS": options}
    try:
        yield path
    finally:
        connections[FRESH].close()
        del connections[FRESH]
        del known[FRESH]


def _put_in_place(path: Path) -> None:
    connections[DEFAULT].close()
    target = Path(connections[DEFAULT].settings_dict["NAME"])
    # The log of the empty database that was here would be taken for the new one's.
    for ending in ("", "-wal", "-shm"):
        Path(f"{target}{ending}").unlink(missing_ok=True)
    os.replace(path, target)
    folder.sync(target.parent)


def put_keys(keys: dict[str, bytes]) -> None:
    """The shop's own keys, instead of those that were made for an empty one."""
    for name, content in keys.items():
        folder.write_private(env.data_dir() / "keys" / name, content)


def put_settings(typed: str) -> None:
    """What the owner typed, but for what is this machine's affair: that stays as it is here."""
    path = env.env_file()
    here = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    kept = [line for line in typed.splitlines() if not _of_the_machine(line)]
    kept += [line for line in here if _of_the_machine(line)]
    folder.write_private(path, "".join(f"{line}\n" for line in kept).encode())


def _of_the_machine(line: str) -> bool:
    return line.partition("=")[0].strip() in OF_THE_MACHINE


def not_empty(what: str) -> Refused:
    """Why this place is no place to restore into."""
    return Refused(
        f"{env.data_dir()} holds {what} already, and nothing is ever put over a shop: name an "
        "empty folder, as in `HILTYARD_DATA=~/restored python3 manage.py restore FILE`"
        f"{_and_database()}."
    )


def _and_database() -> str:
    return ", and an empty database in DATABASE_URL" if env.text("DATABASE_URL") else ""
