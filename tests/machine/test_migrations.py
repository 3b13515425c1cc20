"""The short way to today's tables leads where the long one did."""

import re
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from tests.machine.conftest import REPOSITORY, clean_environment

# Every migration that was ever made, without the one of today that stands for them.
LONG_WAY = """
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
executor = MigrationExecutor(connection)
executor.loader.replace_migrations = False
executor.loader.build_graph()
nodes = executor.loader.graph.nodes
executor.migrate([key for key in executor.loader.graph.leaf_nodes() if not nodes[key].replaces])
"""
HASH = re.compile(r"_[0-9a-f]{8}(?=_|\b)")  # of the columns' names, in the name of an index


def _made(folder: Path, *words: str) -> dict[str, list[str]]:
    """Everything that the database was told to hold: name → its text, the columns sorted."""
    environment = clean_environment(HILTYARD_DATA=str(folder))
    subprocess.run(
        [sys.executable, "manage.py", *words], cwd=REPOSITORY, env=environment, check=True
    )
    database = sqlite3.connect(folder / "hiltyard.sqlite3")
    said = database.execute("SELECT type, name, sql FROM sqlite_master WHERE sql NOT NULL")
    return {HASH.sub("", f"{kind} {name}"): _parts(kind, sql) for kind, name, sql in said}


def _parts(kind: str, sql: str) -> list[str]:
    if kind != "table":
        return [HASH.sub("", sql)]
    inside = sql[sql.index("(") + 1 : sql.rindex(")")]
    return sorted(part.strip() for part in re.split(r",\s*(?![^()]*\))", inside))


@pytest.mark.fault
@pytest.mark.once
def test_short_way_makes_the_same_database_as_the_long_one(tmp_path: Path) -> None:
    for name in ("long", "short"):
        (tmp_path / name).mkdir()
    long = _made(tmp_path / "long", "shell", "-v", "0", "-c", LONG_WAY)
    short = _made(tmp_path / "short", "migrate", "-v", "0")
    assert len(long) > 400
    assert short == long
