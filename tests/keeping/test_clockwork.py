"""The nightly back-up: when it is due, what comes of it, and what is said where it fails."""

import fcntl
import os
import tarfile
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.management import call_command

from builds.progress.models import Build
from shop.keeping import folders
from shop.keeping.actions import clockwork
from shop.keeping.actions.asking import ask_backup, ask_check
from shop.keeping.actions.doing import do_all
from shop.keeping.kept import name_for
from shop.keeping.models import Backup
from shop.keeping.queries import lying, standing
from shop.models import House, User
from tests.keeping.places import every_row

pytestmark = pytest.mark.django_db(transaction=True)
NIGHT = datetime(2026, 3, 2, 3, 30, tzinfo=UTC)


@pytest.fixture(autouse=True)
def started(monkeypatch: pytest.MonkeyPatch) -> list[datetime]:
    """How often the process was to be started; the work itself is done here, by hand."""
    calls: list[datetime] = []
    monkeypatch.setattr(clockwork, "start_process", lambda: calls.append(NIGHT))
    monkeypatch.setattr(os, "nice", lambda by: by)
    return calls


@pytest.fixture(autouse=True)
def house(build: Build) -> House:
    House.objects.filter(id=1).update(
        zone_name="UTC", backup_at=time(3), set_up_at=NIGHT - timedelta(days=30)
    )
    return House.objects.get(id=1)


def _do(now: datetime = NIGHT) -> int:
    return do_all(lambda: now)


def test_before_its_hour_nothing_is_due(started: list[datetime]) -> None:
    assert not clockwork.look(NIGHT - timedelta(hours=1))
    assert not Backup.objects.exists()
    assert started == []


def test_one_a_night_however_often_the_clock_looks(started: list[datetime]) -> None:
    for minute in range(3):
        clockwork.look(NIGHT + timedelta(minutes=minute))
    assert Backup.objects.get().night == NIGHT.date()
    assert _do() == 1
    assert not clockwork.look(NIGHT + timedelta(hours=2))
    assert [one.size for one in lying()] == [Backup.objects.get().size]


def test_a_machine_that_was_off_makes_it_later() -> None:
    assert clockwork.look(NIGHT + timedelta(hours=9))


def test_the_hour_is_that_of_the_shop() -> None:
    House.objects.update(zone_name="Pacific/Auckland", backup_at=time(3))
    assert clockwork.look(datetime(2026, 3, 2, 14, 30, tzinfo=UTC))
    assert str(Backup.objects.get().night) == "2026-03-03"


def test_a_shop_of_this_morning_had_no_night_yet() -> None:
    House.objects.update(set_up_at=NIGHT)
    assert not clockwork.look(NIGHT + timedelta(hours=1))


def test_it_is_read_back_and_copied_to_the_second_folder(here: Path, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    (here / "env").write_text(f"BACKUP_SECOND_FOLDER={tmp_path / 'other'}\n")
    clockwork.look(NIGHT)
    _do()
    one, kept = Backup.objects.get(), lying()[0]
    assert one.checked_at == NIGHT
    assert kept.in_second
    copied = tmp_path / "other" / one.file_name
    assert copied.read_bytes() == (here / "backups" / one.file_name).read_bytes()
    assert copied.stat().st_mode & 0o777 == 0o600


def test_second_folder_that_is_not_there_costs_the_copy_alone(here: Path) -> None:
    (here / "env").write_text("BACKUP_SECOND_FOLDER=/nowhere/at/all\n")
    clockwork.look(NIGHT)
    _do()
    one = Backup.objects.get()
    assert one.done_at
    assert one.second_said == "The folder is not there. Is its disk in its place?"


def test_folder_that_is_gone_fails_says_why_and_is_tried_again(here: Path) -> None:
    (here / "env").write_text("BACKUP_FOLDER=/nowhere/at/all\n")
    clockwork.look(NIGHT)
    _do()
    one = Backup.objects.get()
    assert one.done_at is None
    assert "Is its disk in its place?" in one.problem_said
    assert standing(NIGHT).failed == one
    assert not clockwork.look(NIGHT + timedelta(minutes=30))
    (here / "env").write_text("")
    assert clockwork.look(NIGHT + timedelta(hours=2))
    _do(NIGHT + timedelta(hours=2))
    assert standing(NIGHT + timedelta(hours=2)).failed is None


def test_three_tries_a_night(here: Path) -> None:
    (here / "env").write_text("BACKUP_FOLDER=/nowhere/at/all\n")
    for hour in range(0, 12, 2):
        clockwork.look(NIGHT + timedelta(hours=hour))
        _do(NIGHT + timedelta(hours=hour))
    assert Backup.objects.get().tries == 3


def test_what_a_kill_cut_off_is_said_and_made_anew(here: Path) -> None:
    Backup.objects.create(night=NIGHT.date(), asked_at=NIGHT, begun_at=NIGHT, tries=1)
    folders.ready(folders.folder())
    left = here / "backups" / ".hiltyard-20260302-030000.tar.abc.part"
    left.write_bytes(b"half")
    os.utime(left, (0, 0))
    assert lying() == []
    clockwork.look(NIGHT + timedelta(minutes=1))
    assert "cut off" in Backup.objects.get().problem_said
    clockwork.look(NIGHT + timedelta(hours=2))
    _do(NIGHT + timedelta(hours=2))
    assert Backup.objects.get().done_at
    assert not left.exists()


def test_two_processes_never_work_at_once(here: Path, owner: User) -> None:
    clockwork.look(NIGHT)
    held = os.open(here / "run" / "keeping", os.O_RDWR | os.O_CREAT)
    fcntl.flock(held, fcntl.LOCK_EX)
    assert _do() == 0
    assert not clockwork.look(NIGHT)
    os.close(held)
    assert _do() == 1


def test_a_double_tap_asks_once(owner: User, now: datetime) -> None:
    token = uuid4()
    first = ask_backup(token=token, by=owner, now=now)
    assert ask_backup(token=token, by=owner, now=now) == first


def test_old_ones_are_taken_away_once_the_new_one_is_checked(here: Path) -> None:
    folder = folders.ready(folders.folder())
    for day in range(1, 40):
        (folder / name_for(NIGHT - timedelta(days=day), False)).write_bytes(b"old")
    (folder / "notes.txt").write_text("mine")
    clockwork.look(NIGHT)
    _do()
    names = folders.names(folder)
    assert names[0] == Backup.objects.get().file_name
    assert len(names) <= 7 + 4 + 12
    assert (folder / "notes.txt").exists()


def test_nothing_is_taken_away_where_the_new_one_failed(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = folders.ready(folders.folder())
    for day in range(1, 40):
        (folder / name_for(NIGHT - timedelta(days=day), False)).write_bytes(b"old")
    (folder / name_for(NIGHT, False)).write_bytes(b"there already")
    clockwork.look(NIGHT)
    _do()
    assert Backup.objects.get().problem
    assert len(folders.names(folder)) == 40


def test_check_of_a_damaged_one_says_so(here: Path, owner: User) -> None:
    clockwork.look(NIGHT)
    _do()
    one = Backup.objects.get()
    path = here / "backups" / one.file_name
    path.write_bytes(path.read_bytes()[:-1])
    ask_check(one.file_name, by=owner, now=NIGHT)
    _do()
    one.refresh_from_db()
    assert "is damaged or was cut off" in one.check_said
    assert standing(NIGHT).newest is None


def test_list_of_back_ups_stays_on_its_machine(tmp_path: Path) -> None:
    clockwork.look(NIGHT)
    _do()
    assert every_row()["shop_backup"]
    with tarfile.open(lying() and folders.folder() / lying()[0].name) as tar:
        assert "rows/shop_backup.jsonl.gz" not in tar.getnames()


@pytest.mark.parametrize(("days", "is_old"), [(1, False), (3, True)])
def test_newest_one_grows_old(days: int, is_old: bool) -> None:
    clockwork.look(NIGHT)
    _do()
    assert standing(NIGHT + timedelta(days=days)).is_old is is_old


def test_process_does_what_waits() -> None:
    clockwork.look(NIGHT)
    call_command("backup", asked=True)
    assert Backup.objects.get().done_at
