"""The pages of back-ups and exports: the owner's, and what they say."""

from datetime import datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.bench.queries.backups import backup_wants
from builds.progress.models import Build
from shop.keeping import folders
from shop.keeping.actions import clockwork
from shop.keeping.actions.doing import do_all
from shop.keeping.models import Backup, Export
from shop.models import House
from tests.clocks import later

pytestmark = pytest.mark.django_db(transaction=True)
PAGE = "/settings/backups/"


@pytest.fixture
def owner_client(proven_client: Client) -> Client:
    """Who changes doors has given the password a moment ago."""
    return proven_client


@pytest.fixture(autouse=True)
def _no_nice(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("os.nice", lambda by: by)


def test_make_one_now_and_see_it(
    owner_client: Client, build: Build, here: Path, now: datetime
) -> None:
    token = {"token": str(uuid4())}
    for _tap in range(2):
        assert owner_client.post(reverse("keeping_make"), token).status_code == 303
    assert "begins within a minute" in owner_client.get(PAGE).content.decode()
    assert do_all(lambda: now) == 1
    page = owner_client.get(PAGE).content.decode()
    assert Backup.objects.get().file_name in page
    assert "checked" in page


def test_hour_and_folders_are_the_owners_to_change(
    owner_client: Client, here: Path, tmp_path: Path
) -> None:
    (tmp_path / "other").mkdir()
    typed = {"at": "02:15", "folder": "", "second": str(tmp_path / "other")}
    assert owner_client.post(PAGE, typed).status_code == 303
    assert House.objects.get().backup_at.isoformat() == "02:15:00"
    assert folders.second() == tmp_path / "other"
    assert (here / "env").stat().st_mode & 0o777 == 0o600


def test_hour_with_seconds_is_refused(owner_client: Client, here: Path) -> None:
    before = House.objects.get().backup_at
    answer = owner_client.post(PAGE, {"at": "02:15:30", "folder": "", "second": ""})
    assert answer.status_code == 422
    assert "Write the hour as 09:30." in answer.content.decode()
    assert House.objects.get().backup_at == before


@pytest.mark.parametrize(
    ("folder", "why"),
    [
        ("backups", "whole path"),
        ("/nowhere/at/all", "no such folder"),
        ("~nobody-of-that-name/backups", "no such folder"),
        ("/" + "long" * 80, "no such folder"),
    ],
)
def test_folder_that_cannot_be_used_is_refused_and_nothing_is_lost(
    owner_client: Client, folder: str, why: str
) -> None:
    answer = owner_client.post(PAGE, {"at": "02:15", "folder": folder, "second": ""})
    assert answer.status_code == 422
    assert why in answer.content.decode()
    assert f'value="{folder}"' in answer.content.decode()


def test_what_the_environment_says_no_page_changes(
    owner_client: Client, here: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BACKUP_FOLDER", str(tmp_path))
    owner_client.post(PAGE, {"at": "02:15", "folder": "/tmp", "second": ""})  # noqa: S108
    assert folders.folder() == tmp_path
    assert "BACKUP_FOLDER" not in (here / "env").read_text()


def test_passphrase_is_kept_for_the_owner_of_the_machine_alone(
    owner_client: Client, here: Path
) -> None:
    words = "seven lanterns over the weir"
    owner_client.post(reverse("keeping_lock"), {"words": words, "again": words})
    assert folders.passphrase() == words
    assert (here / "env").stat().st_mode & 0o777 == 0o600
    page = owner_client.get(PAGE).content.decode()
    assert "Back-ups are locked" in page
    assert words not in page
    owner_client.post(reverse("keeping_unlock"))
    assert folders.passphrase() == ""


@pytest.mark.parametrize(
    ("words", "again"),
    [("hush-hush", "hush-hush"), ("one two three four", "one two three five"), ("", "")],
)
def test_passphrase_that_will_not_do(owner_client: Client, words: str, again: str) -> None:
    answer = owner_client.post(reverse("keeping_lock"), {"words": words, "again": again})
    assert answer.status_code == 422
    assert folders.passphrase() == ""
    if words:
        assert words not in answer.content.decode()


def test_check_of_a_name_that_leads_elsewhere_is_refused(owner_client: Client) -> None:
    for name in ("../env", "hiltyard-20260101-030000.tar", ""):
        owner_client.post(reverse("keeping_check"), {"name": name})
    assert not Backup.objects.exists()


def test_export_is_fetched_and_gone_after_two_days(
    owner_client: Client, build: Build, now: datetime
) -> None:
    owner_client.post(reverse("keeping_export"), {"token": str(uuid4())})
    assert do_all(lambda: now) == 1
    one = Export.objects.get()
    answer = owner_client.get(reverse("keeping_export_fetch", args=[one.pk]))
    assert b"".join(answer.streaming_content).startswith(b"PK")
    assert answer.headers["Cache-Control"] == "private, no-store"
    later = one.asked_at + timedelta(days=2, minutes=1)
    House.objects.update(set_up_at=later)
    clockwork.look(later)
    gone = owner_client.get(reverse("keeping_export_fetch", args=[one.pk]))
    assert gone.status_code == 404
    assert not any((folders.exports()).iterdir())


def test_bench_neither_sees_nor_asks(bench_client: Client) -> None:
    assert bench_client.get(PAGE).status_code == 403
    for name in ("keeping_make", "keeping_check", "keeping_export", "keeping_lock"):
        assert bench_client.post(reverse(name)).status_code == 403
    assert not Backup.objects.exists()


def test_today_tells_the_owner_alone(
    owner_client: Client, bench_client: Client, build: Build, now: datetime
) -> None:
    Backup.objects.create(asked_at=now, begun_at=now, problem="The disk is full.")
    assert "The disk is full." in owner_client.get("/").content.decode()
    assert "The disk is full." not in bench_client.get("/").content.decode()


def test_today_is_silent_while_a_good_one_is_young(now: datetime, house: House) -> None:
    House.objects.update(set_up_at=now - timedelta(days=9))
    assert [want.what for want in backup_wants(now, True)] == ["No back-up yet"]
    assert backup_wants(now, False) == []
    Backup.objects.create(asked_at=now, begun_at=now, done_at=now, file_name="hiltyard-x.tar")
    assert backup_wants(now, True) == []
    old = [want.what for want in backup_wants(now + timedelta(days=3), True)]
    assert old == ["The newest back-up is old"]


def test_what_opens_the_shop_to_read_wants_the_password_given_lately(
    owner_client: Client, here: Path, build: Build, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = "seven lanterns over the weir"
    owner_client.post(reverse("keeping_lock"), {"words": words, "again": words})
    owner_client.post(reverse("keeping_export"), {"token": str(uuid4())})
    assert do_all(lambda: now) == 1
    one = Export.objects.get()
    later(monkeypatch, minutes=16)
    assert owner_client.get(PAGE).text.count(f"/confirm/?next={PAGE}") == 3
    where = {"at": "04:00", "folder": str(here / "theirs"), "second": ""}
    other = "eight lanterns over the weir"
    answers = [
        owner_client.post(PAGE, where),
        owner_client.post(reverse("keeping_lock"), {"words": other, "again": other}),
        owner_client.post(reverse("keeping_unlock")),
        owner_client.post(reverse("keeping_export"), {"token": str(uuid4())}),
        owner_client.get(reverse("keeping_export_fetch", args=[one.pk])),
    ]
    assert all(answer.url.startswith("/confirm/?next=") for answer in answers)
    assert (folders.passphrase(), folders.is_usual()) == (words, True)
    assert Export.objects.count() == 1
