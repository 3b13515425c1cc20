"""What is not restored, where nothing is restored, and what a back-up says is wrong."""

import os
import random
import shutil
import signal
import tarfile
from datetime import datetime
from pathlib import Path

import pytest
from django.core.management import call_command

from builds.progress.models import Build
from shop import claims, commands
from shop.files.queries import original_name
from shop.keeping.actions import BackedUp, Refused, backup, restore
from shop.keeping.archive import opened
from shop.models import Blob
from tests.keeping.conftest import MakePlace
from tests.keeping.forging import rewritten, with_member
from tests.keeping.places import every_row

pytestmark = pytest.mark.django_db(transaction=True)
SEED = 20261125
EMPTY = {"env", "hiltyard.sqlite3", "keys", "run"}  # what any command makes


def _flipped(kept: Path, into: Path, bit: int) -> Path:
    shutil.copy(kept, into)
    with into.open("r+b") as file:
        file.seek(bit // 8)
        byte = file.read(1)[0]
        file.seek(bit // 8)
        file.write(bytes([byte ^ 1 << bit % 8]))
    return into


def _is_damaged(path: Path) -> bool:
    with pytest.raises(Refused, match="is damaged or was cut off"), opened(path):
        pass
    return True


def test_file_with_one_bit_flipped_is_refused(kept: BackedUp, tmp_path: Path) -> None:
    dice = random.Random(SEED)  # noqa: S311 – damage, not secrets
    last = kept.size * 8 - 1
    for bit in [0, last, *(dice.randrange(last) for _ in range(30))]:
        assert _is_damaged(_flipped(kept.path, tmp_path / "flipped.tar", bit))


def test_file_that_was_cut_off_is_refused(kept: BackedUp, tmp_path: Path) -> None:
    whole = kept.path.read_bytes()
    dice = random.Random(SEED)  # noqa: S311 – damage, not secrets
    for length in [0, 1, 511, 2048, len(whole) - 1, *dice.sample(range(len(whole)), 10)]:
        (tmp_path / "cut.tar").write_bytes(whole[:length])
        assert _is_damaged(tmp_path / "cut.tar")


def test_file_with_something_behind_it_is_refused(kept: BackedUp) -> None:
    with kept.path.open("ab") as file:
        file.write(b"\0")
    assert _is_damaged(kept.path)


def test_refused_file_leaves_an_empty_place(
    kept: BackedUp, make_place: MakePlace, tmp_path: Path
) -> None:
    place = make_place()
    flipped = _flipped(kept.path, tmp_path / "flipped.tar", kept.size * 4)
    done = place.run("manage.py", "restore", str(flipped))
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert "is damaged or was cut off" in done.stderr
    assert place.media() == {}
    assert not any(place.rows().values())
    assert {path.name for path in place.data.iterdir()} <= {*EMPTY, "media"}


@pytest.mark.parametrize(
    "name", ["../evil", "/etc/evil", "media/originals/../../evil", "rows/../env"]
)
def test_name_that_leads_out_of_the_place_is_refused(tmp_path: Path, name: str) -> None:
    forged = with_member(tmp_path / "forged.tar", tarfile.TarInfo(name), b"evil")
    with pytest.raises(Refused, match="holds what no back-up of this shop holds"), opened(forged):
        pass


@pytest.mark.parametrize(
    "kind", [tarfile.SYMTYPE, tarfile.LNKTYPE, tarfile.DIRTYPE, tarfile.FIFOTYPE]
)
def test_what_is_no_plain_file_is_refused(tmp_path: Path, kind: bytes) -> None:
    member = tarfile.TarInfo("env")
    member.type, member.linkname = kind, "/etc/passwd"
    forged = with_member(tmp_path / "forged.tar", member)
    with pytest.raises(Refused, match="holds what no back-up of this shop holds"), opened(forged):
        pass


def test_name_that_comes_twice_is_refused(tmp_path: Path) -> None:
    forged = with_member(tmp_path / "forged.tar", tarfile.TarInfo("manifest.json"), b"{}")
    with pytest.raises(Refused, match="holds what no back-up of this shop holds"), opened(forged):
        pass


def test_file_in_a_newer_form_is_refused(kept: BackedUp, tmp_path: Path) -> None:
    newer = rewritten(kept.path, tmp_path / "newer.tar", format=2)
    with pytest.raises(Refused, match="was made by a newer Hiltyard"), opened(newer):
        pass


def test_back_up_of_a_newer_hiltyard_is_refused(
    kept: BackedUp, make_place: MakePlace, tmp_path: Path
) -> None:
    migrations = {"shop": ["0001_first", "0999_later"], "builds": ["0001_first"]}
    newer = rewritten(kept.path, tmp_path / "newer.tar", migrations=migrations)
    done = make_place().run("manage.py", "restore", str(newer))
    assert done.returncode == 1
    assert "was made by a newer Hiltyard" in done.stderr


def test_member_that_differs_from_its_own_sum_is_refused(
    kept: BackedUp, make_place: MakePlace, tmp_path: Path
) -> None:
    forged = tmp_path / "forged.tar"
    name = next(one for one in _members(kept.path) if one.startswith("media/originals"))
    rewritten(kept.path, forged, lie_of=name)
    place = make_place()
    done = place.run("manage.py", "restore", str(forged))
    assert "is damaged or was cut off" in done.stderr
    assert place.media() == {}
    assert not any(place.rows().values())
    assert {path.name for path in place.data.iterdir()} <= {*EMPTY, "media"}


def _members(path: Path) -> list[str]:
    with opened(path) as archive:
        return list(archive.manifest.members)


def test_shop_is_never_restored_over(kept: BackedUp) -> None:
    before = every_row()
    with pytest.raises(Refused, match="holds a shop already"):
        restore(kept.path)
    assert every_row() == before


def test_photos_without_a_shop_are_not_restored_over(here: Path, tmp_path: Path) -> None:
    photo = here / "media" / "originals" / "ab" / "abc"
    photo.parent.mkdir(parents=True)
    photo.write_bytes(b"somebody's")
    with pytest.raises(Refused, match="holds photos already"):
        restore(tmp_path / "any.tar")
    assert photo.read_bytes() == b"somebody's"


def test_shop_that_runs_is_not_restored_into(here: Path, tmp_path: Path) -> None:
    held = claims.hold_folder()
    with pytest.raises(SystemExit, match=f"already runs on {here} .*kill {os.getpid()}"):
        call_command("restore", str(tmp_path / "any.tar"))
    os.close(held)


def test_file_that_is_not_there_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(SystemExit, match="cannot be read"):
        call_command("restore", str(tmp_path / "none.tar"))


def test_file_is_never_written_over(build: Build, tmp_path: Path, now: datetime) -> None:
    (tmp_path / "mine.tar").write_bytes(b"mine")
    with pytest.raises(Refused, match="is there already"):
        backup(tmp_path / "mine.tar", now)
    assert (tmp_path / "mine.tar").read_bytes() == b"mine"


def test_place_without_a_shop_is_not_backed_up(tmp_path: Path, now: datetime) -> None:
    with pytest.raises(Refused, match="There is no shop"):
        backup(tmp_path / "none.tar", now)
    assert not (tmp_path / "none.tar").exists()


def test_missing_and_damaged_photos_are_told_with_an_exit_code(
    here: Path, build: Build, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    gone, hurt = (original_name(blob.sha256) for blob in Blob.objects.all())
    (here / "media" / gone).unlink()
    (here / "media" / hurt).write_bytes(b"hurt")
    with pytest.raises(SystemExit, match="1"):
        call_command("backup", str(tmp_path))
    said = capsys.readouterr().err
    assert f"missing: {gone}\ndamaged: {hurt}\n" in said
    assert "1 photos are missing and 1 damaged" in said


def test_secrets_are_named_plainly(
    build: Build, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call_command("backup", str(tmp_path / "kept.tar"))
    assert "It holds the shop's secrets" in capsys.readouterr().out


def test_plug_pulled_while_restoring_leaves_a_place_that_is_refused_until_it_is_whole(
    kept: BackedUp,
    make_place: MakePlace,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    place = make_place()
    assert place.manage("migrate", "-v0") == ""
    monkeypatch.setenv("HILTYARD_DATA", str(place.data))
    for step, time in (("rows", 9), ("media", 3), ("mark", 2)):
        done = place.run("-m", "tests.keeping.killed_at", step, str(time), str(kept.path),
                         DJANGO_SETTINGS_MODULE="shop.settings")  # fmt: skip
        assert done.returncode == -signal.SIGKILL, done.stderr
        assert commands.run(["manage.py", "start"]) == 1
        assert "is not whole" in capsys.readouterr().err
        if step != "mark":
            assert not any(place.rows().values())
    assert "had put everything in place" in place.manage("restore", str(kept.path))
    assert place.rows() == every_row()
