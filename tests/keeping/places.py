"""Places that a shop is put back into: a data folder with a database, and commands run there."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from uuid import uuid4

import dj_database_url
from django.apps import apps
from django.db import connection, connections

from tests.machine.conftest import REPOSITORY, clean_environment

RESTORED = "restored"
# Where rows go in turn. Beside PostgreSQL from the one database to the other and back.
ROUTES = [["sqlite"]]
if os.environ.get("DATABASE_URL"):
    ROUTES += [["postgresql"], ["sqlite", "postgresql"]]
Rows = dict[str, list[dict[str, Any]]]


@dataclass
class Place:
    """An empty data folder, with an empty database of its own."""

    data: Path
    database: dict[str, str] = field(default_factory=dict)

    def run(self, *command: str, **more: str) -> subprocess.CompletedProcess[str]:
        """Run Python here, as whoever owns the place would."""
        environment = {"HILTYARD_DATA": str(self.data), **self.database, **more}
        return subprocess.run(
            [sys.executable, *command], cwd=REPOSITORY, env=clean_environment(**environment),
            timeout=300, capture_output=True, text=True,
        )  # fmt: skip

    def manage(self, *command: str) -> str:
        """A command of manage.py that is expected to go well; what it says."""
        done = self.run("manage.py", *command)
        assert done.returncode == 0, done.stderr
        return done.stdout

    @property
    def url(self) -> str:
        return self.database.get("DATABASE_URL") or f"sqlite:///{self.data / 'hiltyard.sqlite3'}"

    def rows(self) -> Rows:
        """Every row of every table of the shop's own."""
        with _connected(self.url):
            return every_row(RESTORED)

    def media(self) -> dict[str, bytes]:
        """Every file that is kept here."""
        return every_file(self.data / "media")


def place(kind: str, data: Path) -> Place:
    """A new one with a database of a kind."""
    if kind == "sqlite":
        return Place(data)
    name = f"restored_{uuid4().hex[:12]}"
    with connection.cursor() as cursor:
        cursor.execute(f"CREATE DATABASE {name}")
    return Place(data, {"DATABASE_URL": os.environ["DATABASE_URL"].rpartition("/")[0] + f"/{name}"})


@contextmanager
def _connected(url: str) -> Iterator[None]:
    told: dict[str, Any] = dict(dj_database_url.parse(url))
    connections.databases[RESTORED] = {**connections.databases["default"], "OPTIONS": {}, **told}
    try:
        connections[RESTORED].connect()  # by hand: what opens by itself is for the tests' own
        yield
    finally:
        connections[RESTORED].close()
        del connections[RESTORED]
        del connections.databases[RESTORED]


def every_row(using: str = "default") -> Rows:
    """Every row of every table of the shop's own that is there, as Python values."""
    there = connections[using].introspection.table_names()
    return {
        model._meta.db_table: list(model._default_manager.using(using).order_by("pk").values())
        for app in ("shop", "builds")
        for model in apps.get_app_config(app).get_models(include_auto_created=True)
        if model._meta.db_table in there
    }


def every_file(media: Path) -> dict[str, bytes]:
    """Every file that is kept, by its name below the folder."""
    return {
        str(path.relative_to(media)): path.read_bytes()
        for top in ("originals", "renditions")
        for path in (media / top).rglob("*")
        if path.is_file()
    }


def next_number(place: Place) -> int:
    """The number that the next customer gets there."""
    code = (
        "from shop.models import Customer; from shop.clock import now; "
        "print(Customer.objects.create(called='Next', since=now()).pk)"
    )
    return int(place.manage("shell", "-v", "0", "-c", code).split()[-1])
