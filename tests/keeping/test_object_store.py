"""A back-up holds the files of an object store, and goes back into one or onto a disk."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from pytest_django import Settings

from builds.progress.models import Build
from shop.keeping.actions import backup
from tests import object_store
from tests.keeping.conftest import MakePlace
from tests.keeping.places import every_row
from tests.object_store import Store

pytestmark = [pytest.mark.server, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def store(settings: Settings, here: Path) -> Iterator[Store]:
    with object_store.running() as store:
        settings.STORAGES = {**settings.STORAGES, "default": store.storage(here / "media")}
        yield store


def test_back_up_of_a_store_goes_to_a_disk_and_from_there_to_a_store(
    store: Store, build: Build, make_place: MakePlace, tmp_path: Path, now: datetime
) -> None:
    file = backup(tmp_path / "kept.tar", now).path
    on_disk = make_place()
    on_disk.manage("restore", str(file))
    assert on_disk.media() == store.files() != {}
    on_disk.manage("backup", str(tmp_path / "second.tar"))
    with object_store.running() as other:
        in_store = make_place()
        in_store.database.update(other.told)
        in_store.manage("restore", str(tmp_path / "second.tar"))
        assert other.files() == store.files()
        assert in_store.media() == {}
    assert in_store.rows() == every_row()


def test_back_up_of_a_store_goes_straight_into_another(
    store: Store, build: Build, make_place: MakePlace, tmp_path: Path, now: datetime
) -> None:
    file = backup(tmp_path / "kept.tar", now).path
    with object_store.running() as other:
        moved = make_place()
        moved.database.update(other.told)
        moved.manage("restore", str(file))
        assert other.files() == store.files() != {}
        assert moved.media() == {}
        # And the shop there works on with it: its own back-up holds the same.
        moved.manage("backup", str(tmp_path / "of-the-other.tar"))
        back = make_place()
        back.manage("restore", str(tmp_path / "of-the-other.tar"))
        assert back.media() == store.files()
