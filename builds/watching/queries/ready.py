"""Whether this process can serve people: database, tables, disk; and whether the broker answers.

Words for whoever looks after the machine; no secret, no address, no name of a file.
"""

import shutil
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from django.apps import apps
from django.conf import settings
from django.db import Error as DatabaseError
from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.utils.translation import gettext as _

from shop.web.machine import LEAST_FREE, broker_answers

OK, DEGRADED, FAILED = "ok", "degraded", "failed"


@dataclass(frozen=True)
class Check:
    """One thing that was looked at, and what to say of it."""

    name: str
    state: str
    says: str


def checks() -> Iterator[Check]:
    """Everything that is looked at. Without the broker people work on: it is degraded at worst."""
    yield _database()
    yield _data_folder()
    yield _broker()


def _database() -> Check:
    try:
        lacking = _wanted_migrations() - _applied()
    except DatabaseError:
        connection.close()  # the next look begins anew
        return Check("database", FAILED, _("The database does not answer."))
    if lacking:
        said = _("The database is of an older version: run `manage.py migrate` (%d steps).")
        return Check("database", FAILED, said % len(lacking))
    return Check("database", OK, _("The database answers and is up to date."))


def _applied() -> set[tuple[str, str]]:
    # Not by Django's recorder, which first asks for the list of all tables.
    with connection.cursor() as cursor:
        cursor.execute("SELECT app, name FROM django_migrations")
        return set(cursor.fetchall())


@cache
def _wanted_migrations() -> frozenset[tuple[str, str]]:
    """By the names of their files alone: to load a hundred of them would cost a process 10 MB."""
    wanted = set()
    for label in (config.label for config in apps.get_app_configs()):
        module, _explicit = MigrationLoader.migrations_module(label)
        if module and _is_there(module):
            found = iter_modules(import_module(module).__path__)
            wanted |= {(label, each.name) for each in found if each.name[0] not in "_~"}
    return frozenset(wanted)


def _is_there(module: str) -> bool:
    try:
        return hasattr(import_module(module), "__path__")
    except ModuleNotFoundError:
        return False


def _data_folder() -> Check:
    try:
        with tempfile.TemporaryFile(dir=settings.DATA_DIR) as file:
            file.write(b"room")
            file.flush()
        free = shutil.disk_usage(settings.DATA_DIR).free
    except OSError:
        return Check("data folder", FAILED, _("The data folder cannot be written to."))
    if free < LEAST_FREE:
        said = _("The disk of the data folder is full: %d MB are left.")
        return Check("data folder", FAILED, said % (free // 1_000_000))
    return Check("data folder", OK, _("The data folder can be written to."))


def _broker() -> Check:
    if not broker_answers():
        said = _("The broker does not answer: mail and pictures wait, people work on.")
        return Check("broker", DEGRADED, said)
    return Check("broker", OK, _("The broker answers."))


def state_of(found: list[Check]) -> str:
    """The worst of them."""
    worst: Callable[[Check], int] = lambda check: (OK, DEGRADED, FAILED).index(check.state)  # noqa: E731
    return max(found, key=worst).state
