"""Back-ups under a passphrase: who opens them, and what is never in them."""

import io
import re
import tarfile
from datetime import datetime
from pathlib import Path

import pyrage
import pytest
from django.core.management import call_command

from builds.progress.models import Build
from shop.keeping import sealed
from shop.keeping.actions import BackedUp, Refused, backup, restore
from shop.keeping.actions.doing import look_through, make
from shop.keeping.models import Backup
from shop.keeping.read_through import read_through
from shop.web.speech import speaking
from tests.keeping.conftest import TYPED, MakePlace
from tests.keeping.places import ROUTES, every_file, every_row

pytestmark = pytest.mark.django_db(transaction=True)
WORDS = "seven lanterns over the weir"


@pytest.fixture
def locked(build: Build, tmp_path: Path, now: datetime) -> BackedUp:
    return backup(tmp_path / "kept.age.tar", now, WORDS)


def test_any_program_that_knows_age_opens_it_in_two_steps(locked: BackedUp) -> None:
    with tarfile.open(locked.path) as outer:
        assert outer.getnames() == ["identity.age", "backup.tar.age"]
        key, body = (outer.extractfile(name) for name in outer.getnames())
        assert key is not None
        assert body is not None
        identity = pyrage.passphrase.decrypt(key.read(), WORDS).decode()
        plain = pyrage.decrypt(body.read(), [pyrage.x25519.Identity.from_str(identity.strip())])
    with tarfile.open(fileobj=io.BytesIO(plain)) as inner:
        assert "manifest.json" in inner.getnames()


def test_nothing_of_it_lies_open(locked: BackedUp, tmp_path: Path, now: datetime) -> None:
    content = locked.path.read_bytes()
    plain = backup(tmp_path / "plain.tar", now).path.read_bytes()
    for word in (b"manifest.json", b"mail-secret", b"rows/shop_customer"):
        assert word in plain
        assert word not in content


@pytest.mark.parametrize("kinds", ROUTES, ids="-".join)
def test_it_comes_back_whole(
    locked: BackedUp, make_place: MakePlace, kinds: list[str], here: Path
) -> None:
    place = make_place(kinds[0])
    done = place.run("manage.py", "restore", str(locked.path), BACKUP_PASSPHRASE=WORDS)
    assert done.returncode == 0, done.stderr
    assert place.rows() == every_row()
    assert place.media() == every_file(here / "media") != {}
    assert {path.name for path in place.data.iterdir()} >= {"env", "keys", "media"}


@pytest.mark.parametrize("words", ["another lantern", ""])
def test_wrong_words_are_one_sentence_and_nothing_is_put_in_place(
    locked: BackedUp, make_place: MakePlace, words: str
) -> None:
    place = make_place()
    done = place.run("manage.py", "restore", str(locked.path), BACKUP_PASSPHRASE=words)
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert "passphrase" in done.stderr
    assert not any(place.rows().values())


def test_passphrase_is_not_in_the_back_up(build: Build, here: Path, now: datetime) -> None:
    (here / "env").write_text(f"{TYPED}BACKUP_PASSPHRASE={WORDS}\n")
    plain = backup(here / "plain.tar", now)
    content = plain.path.read_bytes()
    assert b"mail-secret" in content
    assert WORDS.encode() not in content


def test_what_is_set_here_locks_the_back_ups_of_the_clock(
    build: Build, here: Path, now: datetime
) -> None:
    (here / "env").write_text(f"BACKUP_PASSPHRASE={WORDS}\n")
    one = Backup.objects.create(asked_at=now)
    make(one, lambda: now)
    assert one.file_name.endswith(".age.tar")
    assert sealed.is_sealed(here / "backups" / one.file_name)
    assert one.checked_at == now
    assert one.check_problem == ""


def test_what_is_locked_and_has_no_passphrase_here_says_what_to_do(
    build: Build, here: Path, now: datetime
) -> None:
    (here / "env").write_text(f"BACKUP_PASSPHRASE={WORDS}\n")
    one = Backup.objects.create(asked_at=now)
    make(one, lambda: now)
    (here / "env").write_text("")
    look_through(one, lambda: now)
    assert one.check_problem == "locked"
    assert "no passphrase is set here" in one.check_said
    with speaking("de"):
        assert "hier ist keine Passphrase gesetzt" in one.check_said
    (here / "env").write_text("BACKUP_PASSPHRASE=other words of no use here\n")
    look_through(one, lambda: now)
    assert "made with another one" in one.check_said


def test_one_bit_flipped_is_noticed(locked: BackedUp) -> None:
    whole = locked.path.read_bytes()
    for at in (100, 700, 3000, -2000, -1):
        content = bytearray(whole)
        content[at] ^= 1
        locked.path.write_bytes(content)
        with pytest.raises(Refused):
            sealed.check(locked.path, WORDS)


def test_what_was_cut_off_is_noticed(locked: BackedUp) -> None:
    content = locked.path.read_bytes()
    for length in (0, 300, 1500, len(content) // 2, len(content) - 1):
        locked.path.write_bytes(content[:length])
        with pytest.raises(Refused):
            sealed.check(locked.path, WORDS)


def test_check_goes_through_it_without_restoring(
    locked: BackedUp, kept: BackedUp, capsys: pytest.CaptureFixture[str], here: Path
) -> None:
    (here / "env").write_text(f"BACKUP_PASSPHRASE={WORDS}\n")
    for done in (locked, kept):
        call_command("backup", check=done.path)
        said = capsys.readouterr().out
        assert f"is whole: {done.rows:,} rows and {done.files:,} files of " in said
        assert re.search(r"files of \d{1,2} \w+ \d{4}, \d\d:\d\d, every sum right\.", said)


def test_check_finds_a_bit_in_an_open_file(kept: BackedUp) -> None:
    content = bytearray(kept.path.read_bytes())
    content[len(content) // 2] ^= 4
    with pytest.raises(Refused, match="is damaged"):
        read_through(io.BytesIO(bytes(content)), kept.path)


def test_a_disk_that_fills_up_leaves_nothing_behind(
    build: Build, tmp_path: Path, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = pyrage.encrypt_io

    class Full:
        def __init__(self, file: io.BufferedWriter) -> None:
            self.file, self.left = file, 2000

        def write(self, piece: bytes) -> int:
            self.left -= len(piece)
            if self.left < 0:
                raise OSError(28, "No space left on device")
            return self.file.write(piece)

        def flush(self) -> None:
            self.file.flush()

    def onto_a_full_disk(source: object, file: io.BufferedWriter, keys: object) -> None:
        real(source, Full(file), keys)

    monkeypatch.setattr(pyrage, "encrypt_io", onto_a_full_disk)
    (tmp_path / "into").mkdir()
    with pytest.raises(OSError, match="No space left"):
        backup(tmp_path / "into" / "kept.age.tar", now, WORDS)
    assert list((tmp_path / "into").iterdir()) == []


def test_a_shop_is_not_restored_over(locked: BackedUp) -> None:
    with pytest.raises(Refused, match="holds a shop already"):
        restore(locked.path, WORDS)
