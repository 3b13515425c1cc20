"""A data folder on a disk that runs full: plain words, nothing half-kept, on again with room."""

import json
import os
import shutil
import subprocess
import time
from pathlib import Path
from urllib.parse import urlencode
from uuid import uuid4

import pytest

from tests import films
from tests.faults.conftest import Made
from tests.faults.deeds import FORM, Crowd
from tests.faults.whole import Whole, running, words_of
from tests.machine.conftest import wait_until

pytestmark = [pytest.mark.server, pytest.mark.once]
FULL = "The disk of the shop is full"
NO_WRITE = "The data folder cannot be written to."
NO_MB = "The disk of the data folder is full: 0 MB are left."


def _fill(disk: Path) -> None:
    """Leave no room at all."""
    with (disk / "in-the-way").open("ab") as file:
        for size in (1_000_000, 4096):
            try:
                while True:
                    os.write(file.fileno(), b"\0" * size)
            except OSError:
                continue


def _make_room(disk: Path) -> None:
    (disk / "in-the-way").unlink()


def _piece(crowd: Crowd, whole_film: bytes) -> tuple[int, str]:
    """Begin a film and send the first piece of it."""
    number, _order = crowd.builds[0]
    asked = {"token": uuid4(), "name": "a.mp4", "size": len(whole_film), "mark": "1"}
    path = f"/build/{number}/film/begin/"
    return crowd.person.post(path, urlencode(asked).encode(), FORM)


def _backup(whole: Whole) -> "subprocess.CompletedProcess[str]":
    return whole.ran("manage.py", "backup")


def _halves(data: Path) -> list[Path]:
    folder = data / "backups"
    return [*folder.glob(".*.part"), *folder.glob("*.tar")] if folder.exists() else []


def test_full_disk_is_told_and_costs_nothing_that_was_kept(made: Made, small_disk: Path) -> None:
    whole, crowd = made(small_disk / "shop")
    with running(whole):
        crowd.do_each()
        assert crowd.told.count == 5
        _fill(small_disk)
        with crowd.at_work():
            assert wait_until(lambda: crowd.told.statuses[507] > 3, 40), crowd.told.statuses
        assert crowd.told.wrong == [], crowd.told.wrong[:3]
        assert "data folder" in whole.ready(), whole.crowdless().look("/health/ready")
        assert whole.ready()["data folder"] in (NO_WRITE, NO_MB)
        for path in ("/bench/", "/messages/", "/"):
            assert crowd.person.look(path)[0] == 200, path
        assert wait_until(lambda: FULL in words_of(crowd.person.look("/")[1]), 20)
        status, page = _piece(crowd, films.like())
        assert status in {422, 507}, (status, words_of(page))
        refused = _backup(whole)
        assert refused.returncode != 0
        assert "No space left on device" in refused.stderr or "is full" in refused.stderr
        assert _halves(whole.data) == []
        _make_room(small_disk)
        before = crowd.told.count
        crowd.do_each(crowd.but_moves)
        assert crowd.told.count == before + len(crowd.but_moves)
        assert wait_until(lambda: FULL not in crowd.person.look("/")[1], 20)
        assert _backup(whole).returncode == 0
    assert whole.check(crowd) == before + len(crowd.but_moves)


@pytest.mark.fault
def test_disk_that_is_full_again_and_again(made: Made, small_disk: Path) -> None:
    whole, crowd = made(small_disk / "shop")
    with running(whole):
        for _turn in range(8):
            _fill(small_disk)
            with crowd.at_work():
                time.sleep(5)
                _make_room(small_disk)
                time.sleep(3)
    kept = whole.check(crowd)
    said = json.dumps(crowd.told.statuses)
    print(  # noqa: T201 – the figures are what the long run is for
        f"\na disk that ran full eight times: {kept} deeds acknowledged, 0 lost; answers: {said}"
    )
    shutil.rmtree(whole.data / "backups", ignore_errors=True)
