"""Back up, restore into an empty place, and look whether anything differs."""

import gzip
import json
import stat
import tarfile
from datetime import datetime
from io import BytesIO
from pathlib import Path
from threading import Event
from typing import IO

import pytest
from django.apps import apps
from django.conf import settings
from django.db import transaction
from django.db.migrations.loader import MigrationLoader
from django.db.models import Model
from django.test import Client

from builds.progress.models import Build, Move
from shop.files.queries import original_name, rendition_name
from shop.history.actions import record
from shop.keeping import place, rows
from shop.keeping.actions import BackedUp, backup
from shop.keeping.archive import Archive, opened
from shop.models import Blob, Customer, PrivateLink
from tests.keeping.conftest import TYPED, MakePlace
from tests.keeping.forging import rewritten
from tests.keeping.places import ROUTES, every_file, every_row, next_number
from tests.makers import at_once
from tests.visitor import making

REAL = {"DJANGO_SETTINGS_MODULE": "shop.settings"}
pytestmark = pytest.mark.django_db(transaction=True)


def _mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


@pytest.mark.parametrize("route", ROUTES, ids="-".join)
def test_everything_comes_back_as_it_was(
    here: Path,
    gone: int,
    link: PrivateLink,
    route: list[str],
    make_place: MakePlace,
    tmp_path: Path,
    now: datetime,
) -> None:
    file = backup(tmp_path / "kept.tar", now).path
    for step, kind in enumerate(route):
        restored = make_place(kind)
        restored.manage("restore", str(file))
        if step + 1 < len(route):
            file = tmp_path / f"kept-{step}.tar"
            restored.manage("backup", str(file))
    assert restored.rows() == every_row()
    assert restored.media() == every_file(here / "media") != {}
    assert (restored.data / "env").read_text() == TYPED
    assert (restored.data / "keys" / "link_key").read_text().strip() == settings.LINK_KEY
    private = ("env", "keys/link_key", "keys/secret_key")
    assert {_mode(restored.data / name) for name in private} == {0o600}
    assert not (restored.data / "restoring").exists()
    page = restored.run(
        "-m", "tests.keeping.open_page", f"/your/order/{making.token(link)}/", **REAL
    )
    assert page.stdout.splitlines() == ["page 200", "image/webp 200"], page.stderr
    assert next_number(restored) == gone + 1


def test_only_its_owner_may_read_the_file(kept: BackedUp) -> None:
    assert _mode(kept.path) == 0o600


def test_no_unfinished_file_stays_beside_it(kept: BackedUp) -> None:
    assert [path for path in kept.path.parent.iterdir() if path.name.endswith(".part")] == []


def test_any_tar_program_reads_it(kept: BackedUp) -> None:
    with tarfile.open(kept.path) as tar:
        told = json.load(tar.extractfile("manifest.json") or BytesIO())
        names = set(tar.getnames())
    assert set(told["members"]) == names - {"manifest.json", "SHA256"}
    assert told["tables"]["builds_move"] == {"rows": 2, "last_id": Move.objects.latest("id").pk}


def test_sessions_are_left_out(owner_client: Client, kept: BackedUp) -> None:
    with opened(kept.path) as archive:
        assert "rows/shop_user.jsonl.gz" in archive.found
        assert not [name for name in archive.found if "session" in name]


def test_no_row_of_ours_points_to_a_table_that_is_left_out() -> None:
    ours = [model for app in rows.APPS for model in apps.get_app_config(app).get_models()]
    fields = [field for model in ours for field in model._meta.get_fields()]
    pointed = {field.related_model for field in fields if field.related_model}
    assert {apps.get_app_config(model._meta.app_label).name for model in pointed} <= set(rows.APPS)


def test_back_up_is_one_moment_however_much_is_written(
    build: Build, tmp_path: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    dump = rows.dump
    written: list[int] = []

    def write() -> None:
        with transaction.atomic():
            customer = making.customer(now, called=f"Late {len(written)}")
            record("customer_added", f"customer:{customer.pk}", None, now)
        written.append(customer.pk)

    def dump_and_write(model: type[Model], into: IO[bytes], using: str) -> int:
        answer = at_once(write)
        assert answer == [None]
        return dump(model, into, using)

    before = every_row()
    monkeypatch.setattr(rows, "dump", dump_and_write)
    path = backup(tmp_path / "kept.tar", now).path
    assert len(written) > 30
    with opened(path) as archive:
        assert len(lines(archive, "shop_customer")) == len(before["shop_customer"])
        assert len(lines(archive, "shop_entry")) == len(before["shop_entry"])


def test_back_up_between_two_halves_of_a_deed_holds_neither(
    build: Build, tmp_path: Path, now: datetime
) -> None:
    half, done = Event(), Event()

    def deed() -> None:
        with transaction.atomic():
            customer = making.customer(now, called="Half")
            half.set()
            assert done.wait(30)
            record("customer_added", f"customer:{customer.pk}", None, now)

    def save() -> Path:
        assert half.wait(30)
        try:
            return backup(tmp_path / "kept.tar", now).path
        finally:
            done.set()

    _, path = at_once(deed, save)
    with opened(path) as archive:
        assert not any("Half" in line for line in lines(archive, "shop_customer"))
    assert Customer.objects.filter(called="Half").exists()


def lines(archive: Archive, table: str) -> list[str]:
    """The rows of a table as they stand in a back-up."""
    return gzip.decompress(archive.read(f"rows/{table}.jsonl.gz")).decode().splitlines()[1:]


def test_settings_of_the_machine_stay_as_they_are(here: Path) -> None:
    (here / "env").write_text("# mine\nREDIS_URL=redis://127.0.0.1/7\n")
    place.put_settings(f"{TYPED}REDIS_URL=redis://192.0.2.9/0\nHTTPS=1\n")
    assert (here / "env").read_text() == f"{TYPED}HTTPS=1\nREDIS_URL=redis://127.0.0.1/7\n"
    assert _mode(here / "env") == 0o600


def test_what_was_missing_does_not_keep_the_rest_from_coming_back(
    here: Path, build: Build, make_place: MakePlace, tmp_path: Path, now: datetime
) -> None:
    broken, gone = Blob.objects.order_by("pk")
    (here / "media" / rendition_name(broken.sha256, 320)).write_bytes(b"half")
    (here / "media" / original_name(gone.sha256)).unlink()
    restored = make_place()
    restored.manage("restore", str(backup(tmp_path / "kept.tar", now).path))
    found = restored.rows()
    blobs = {row["sha256"]: row["rendered_at"] for row in found["shop_blob"]}
    assert blobs == {broken.sha256: None, gone.sha256: gone.rendered_at}
    assert {row["blob_id"] for row in found["shop_rendition"]} == {gone.pk}
    assert original_name(broken.sha256) in restored.media()


@pytest.mark.fault  # goes the long way through the migrations, which takes half a minute
def test_back_up_of_an_older_shop_is_brought_up_to_date(
    kept: BackedUp, make_place: MakePlace, tmp_path: Path
) -> None:
    # Without the newest migration that changes no column, so that the rows fit both states.
    older = rewritten(kept.path, tmp_path / "older.tar", migrations={
        "shop": _before("shop", ""), "builds": _before("builds", "0010_bounds"),
    })  # fmt: skip
    restored = make_place()
    restored.manage("restore", str(older))
    assert restored.rows() == every_row()
    rewrite = "from builds.models import Move; Move.objects.update(reason='else')"
    refused = restored.run("manage.py", "shell", "-v", "0", "-c", rewrite)
    assert "builds_move is append-only" in refused.stderr


def test_back_up_of_a_shop_that_came_the_long_way_comes_back(
    kept: BackedUp, make_place: MakePlace, tmp_path: Path
) -> None:
    known = MigrationLoader(None).disk_migrations
    long = {
        app: sorted(key[1] for key, each in known.items() if key[0] == app and not each.replaces)
        for app in ("shop", "builds")
    }
    older = rewritten(kept.path, tmp_path / "older.tar", migrations=long)
    restored = make_place()
    restored.manage("restore", str(older))
    assert restored.rows() == every_row()
    assert restored.manage("migrate", "--check") == ""


def _before(app: str, left_out: str) -> list[str]:
    known = MigrationLoader(None).disk_migrations
    return sorted(name for label, name in known if label == app and name != left_out)
