"""Back-ups, exports and restores killed with -9 half-way: no half file, said, and made anew."""

import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

import pytest

from shop.keeping.troubles import CUT_OFF
from tests.faults.conftest import Made
from tests.faults.whole import SEED, Whole
from tests.machine.conftest import REPOSITORY, wait_until

pytestmark = [pytest.mark.server, pytest.mark.once]

BIG = 30_000_000  # bytes of a file, so that there is a half-way


def _ask(whole: Whole, what: str) -> None:
    """Have something made, as the owner's button does."""
    whole.run(
        "manage.py", "shell", "-v0", "-c",
        "from uuid import uuid4; from shop.clock import now; from shop.models import User; "
        f"from shop.keeping.actions.asking import {what}; "
        f"{what}(token=uuid4(), by=User.objects.first(), now=now())",
    )  # fmt: skip


def _rows(whole: Whole, table: str) -> list[tuple[str, bool]]:
    """The problem of each, and whether it is done, in the order in which they were asked for."""
    with closing(sqlite3.connect(whole.data / "hiltyard.sqlite3", timeout=20)) as database:
        asked = database.execute(f"SELECT problem, done_at FROM {table} ORDER BY id")  # noqa: S608
        return [(problem, done is not None) for problem, done in asked]


def _with_something_large(whole: Whole) -> None:
    """A file that takes a moment to copy."""
    code = (
        "from django.core.files.uploadedfile import SimpleUploadedFile; import os; "
        "from shop.clock import now; from shop.files.actions import keep_file; "
        f"keep_file(SimpleUploadedFile('a', os.urandom({BIG})), 'video/mp4', now(), "
        f"at_most={2 * BIG})"
    )
    whole.run("manage.py", "shell", "-v0", "-c", code)


def _names(folder: Path, pattern: str) -> set[str]:
    return {path.name for path in folder.glob(pattern)}


def _killed_half_way(whole: Whole, folder: Path, dice: random.Random, *words: str) -> None:
    """Run a command and kill it once it has begun to write."""
    process = subprocess.Popen(
        [sys.executable, *words], cwd=REPOSITORY, env=whole.environment,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    assert wait_until(lambda: _names(folder, ".*.part") or process.poll() is not None, 60)
    time.sleep(dice.uniform(0.0, 0.05))
    process.send_signal(signal.SIGKILL)
    process.wait()


@pytest.mark.parametrize(
    ("what", "table", "folder", "pattern"),
    [
        ("ask_backup", "shop_backup", "backups", "hiltyard-*.tar"),
        pytest.param(
            "ask_export", "shop_export", "exports", "*.zip", marks=pytest.mark.fault, id="export"
        ),
    ],
)
def test_killed_half_way_leaves_no_half_and_is_made_anew(
    made: Made, what: str, table: str, folder: str, pattern: str
) -> None:
    whole, _crowd = made()
    _with_something_large(whole)
    there = whole.data / folder
    _ask(whole, what)
    whole.run("manage.py", "backup", "--asked")
    before = _names(there, pattern)
    assert len(before) == 1
    _ask(whole, what)
    _killed_half_way(whole, there, random.Random(SEED), "manage.py", "backup", "--asked")  # noqa: S311
    assert _names(there, pattern) == before
    assert len(_names(there, ".*.part")) == 1
    assert _rows(whole, table)[-1] == ("", False)
    _ask(whole, what)
    whole.run("manage.py", "backup", "--asked")
    assert _names(there, ".*.part") == set()
    assert _rows(whole, table) == [("", True), (CUT_OFF, False), ("", True)]
    assert _names(there, pattern)
    for name in _names(whole.data / "backups", "hiltyard-*.tar"):
        whole.run("manage.py", "backup", "--check", str(whole.data / "backups" / name))


@pytest.mark.fault
def test_twelve_kills_of_back_up_and_restore(made: Made, tmp_path: Path) -> None:
    whole, crowd = made()
    _with_something_large(whole)
    kept, dice = tmp_path / "kept", random.Random(SEED)  # noqa: S311 – moments, no secrets
    kept.mkdir()
    for number in range(6):
        _killed_half_way(whole, kept, dice, "manage.py", "backup", str(kept / f"{number}.tar"))
    assert _names(kept, "*.tar") == set()
    whole.run("manage.py", "backup", str(kept / "whole.tar"))
    place = Whole(tmp_path / "place", whole.more)
    for _each in range(6):
        process = subprocess.Popen(
            [sys.executable, "manage.py", "restore", str(kept / "whole.tar")], cwd=REPOSITORY,
            env=place.environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        time.sleep(dice.uniform(1.0, 5.0))
        if process.poll() is not None:
            break
        process.kill()
        process.wait()
        if (place.data / "restoring").exists():
            assert place.ran("manage.py", "check").returncode == 1
    if not (place.data / "hiltyard.sqlite3").exists() or (place.data / "restoring").exists():
        place.run("manage.py", "restore", str(kept / "whole.tar"))
    place.check(crowd)
    print(  # noqa: T201 – the figures are what the long run is for
        "\n6 kills of a back-up left no file, 6 of a restore no half shop"
    )
