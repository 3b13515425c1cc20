"""What the worker makes of a film where ffmpeg is there; where it is not, nothing is amiss."""

import shutil
import subprocess
from datetime import datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from pytest_django import Settings

from builds.handover.actions import ffmpeg
from builds.handover.actions.films import Source, put_film
from builds.handover.actions.looking import GRACE, left_over, look_on
from builds.handover.models import Film
from builds.progress.states import State
from shop.files.actions import keep_file
from shop.files.containers import film_type
from shop.files.queries import on_disk
from shop.models import User
from tests import films
from tests.makers import make_build

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def media(settings: Settings, tmp_path: Path) -> Path:
    """A media folder of each test's own."""
    options = {**settings.STORAGES["default"], "OPTIONS": {"location": tmp_path / "media"}}
    settings.STORAGES = {**settings.STORAGES, "default": options}
    return tmp_path / "media"


@pytest.fixture
def program() -> str:
    """ffmpeg; `manage.py test` asks for it, so that nothing here is left out in silence."""
    path = shutil.which("ffmpeg")
    if path is None or shutil.which("ffprobe") is None:
        pytest.skip("needs ffmpeg: type `sudo apt install ffmpeg`")
    return path


def drawn(program: str, to: Path, seconds: float = 8.0, size: str = "1280x960") -> bytes:
    """A film with sound as no browser plays it."""
    source = ["-f", "lavfi", "-i", f"testsrc=size={size}:rate=25:duration={seconds}"]
    sound = ["-f", "lavfi", "-i", f"sine=frequency=220:duration={seconds}"]
    command = [program, "-loglevel", "error", *source, *sound, "-c:v", "mpeg4", "-q:v", "9"]
    subprocess.run([*command, "-c:a", "pcm_s16le", str(to)], check=True)
    return to.read_bytes()


def film_of(content: bytes, by: User, now: datetime, kind: str = "video/x-matroska") -> Film:
    upload = SimpleUploadedFile("film", content)
    blob = keep_file(upload, kind, now, at_most=len(content))
    build = make_build(by, now, State.TEST)
    return put_film(build.pk, Source(blob), seen=0, token=uuid4(), by=by, now=now)


def to_the_end(film: Film, now: datetime) -> Film:
    for _ in range(20):
        if not look_on(film.pk, now):
            break
    return Film.objects.select_related("smaller", "poster").get(pk=film.pk)


def test_a_smaller_copy_that_plays_anywhere(
    program: str, owner: User, now: datetime, tmp_path: Path, media: Path
) -> None:
    film = to_the_end(film_of(drawn(program, tmp_path / "f.mkv"), owner, now), now)
    assert film.problem == ""
    assert film.seconds == pytest.approx(8.0, abs=0.1)
    assert film.poster
    assert (film.poster.width, film.poster.height) == (1280, 960)
    assert film.smaller
    with on_disk(film.smaller) as path:
        copy = ffmpeg.probe(path, "video/mp4")
        content = path.read_bytes()
    assert (copy.height, copy.has_sound, copy.is_light) == (720, True, True)
    assert copy.seconds == pytest.approx(8.0, abs=0.15)
    assert content.index(b"moov") < content.index(b"mdat")  # plays while it comes
    assert list((media / "incoming").iterdir()) == []


def test_upright_film_stays_upright(
    program: str, owner: User, now: datetime, tmp_path: Path
) -> None:
    content = drawn(program, tmp_path / "f.mkv", seconds=1, size="811x1441")
    film = to_the_end(film_of(content, owner, now), now)
    assert film.smaller
    with on_disk(film.smaller) as path:
        assert ffmpeg.probe(path, "video/mp4").height == 720


def test_film_that_plays_anywhere_is_left_as_it_is(
    program: str, owner: User, now: datetime
) -> None:
    film = to_the_end(film_of(films.real(), owner, now, "video/webm"), now)
    assert film.smaller is None
    assert film.looked_at == now
    assert film.poster
    assert film.seconds == pytest.approx(24, abs=0.2)


@pytest.mark.parametrize(
    ("ending", "sound", "is_light"),
    [
        ("mp4", ["-c:a", "aac"], True),
        ("mp4", ["-an"], True),
        ("mp4", ["-c:a", "ac3"], False),
        ("mov", ["-c:a", "aac"], False),
        ("mov", ["-c:a", "pcm_s16le"], False),
        ("mkv", ["-c:a", "aac"], False),
    ],
)
def test_picture_sound_and_kind_of_file_say_whether_it_plays_anywhere(
    program: str, tmp_path: Path, ending: str, sound: list[str], is_light: bool
) -> None:
    path = small(program, tmp_path / f"f.{ending}", sound)
    kind = film_type(path.read_bytes()[:64])
    assert ffmpeg.probe(path, kind).is_light is is_light


def small(program: str, to: Path, sound: list[str]) -> Path:
    """A second of a film whose picture every browser plays."""
    made = ["-f", "lavfi", "-i", "testsrc=size=160x120:rate=10:duration=1"]
    heard = ["-f", "lavfi", "-i", "sine=frequency=220:duration=1"]
    picture = ["-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p"]
    subprocess.run(
        [program, "-loglevel", "error", *made, *heard, *picture, *sound, str(to)], check=True
    )
    return to


def test_kind_of_file_that_some_browsers_do_not_open_gets_a_copy(
    program: str, owner: User, now: datetime, tmp_path: Path
) -> None:
    path = small(program, tmp_path / "f.mkv", ["-c:a", "aac"])
    film = to_the_end(film_of(path.read_bytes(), owner, now), now)
    assert film.smaller
    assert film.smaller.media_type == "video/mp4"


def test_broken_film_says_so_and_is_given_up(program: str, owner: User, now: datetime) -> None:
    film = to_the_end(film_of(films.like(size=5000), owner, now), now)
    assert film.looked_at == now
    assert "plays as it came" in film.problem


def test_list_of_other_files_is_not_followed(program: str, tmp_path: Path) -> None:
    secret = tmp_path / "secret.ts"
    drawn(program, tmp_path / "s.mkv", seconds=1)
    secret.write_bytes((tmp_path / "s.mkv").read_bytes())
    playlist = tmp_path / "film.mp4"
    playlist.write_text(f"#EXTM3U\n#EXTINF:1,\nfile://{secret}\n#EXT-X-ENDLIST\n")
    with pytest.raises(ffmpeg.Failed):
        ffmpeg.probe(playlist, "video/mp4")


def test_sound_alone_is_no_film(program: str, tmp_path: Path) -> None:
    path = tmp_path / "sound.mkv"
    sound = [program, "-loglevel", "error", "-f", "lavfi", "-i", "sine=duration=1", str(path)]
    subprocess.run(sound, check=True)
    with pytest.raises(ffmpeg.Failed, match="no picture"):
        ffmpeg.probe(path, "video/x-matroska")


def test_step_that_was_cut_off_is_found_again(program: str, owner: User, now: datetime) -> None:
    film = film_of(films.real(), owner, now, "video/webm")
    assert left_over(now) == []
    assert left_over(now + GRACE) == [film.pk]
    look_on(film.pk, now + GRACE)
    assert left_over(now + GRACE + timedelta(seconds=1)) == []
    assert left_over(now + 2 * GRACE) == [film.pk]
    to_the_end(film, now + 2 * GRACE)
    assert left_over(now + 9 * GRACE) == []


def test_step_done_twice_does_no_harm(program: str, owner: User, now: datetime) -> None:
    film = film_of(films.real(), owner, now, "video/webm")
    look_on(film.pk, now)
    look_on(film.pk, now)
    poster = Film.objects.get(pk=film.pk).poster_id
    assert to_the_end(film, now).poster_id == poster


def test_without_the_program_nothing_is_amiss(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    film = film_of(films.real(), owner, now, "video/webm")
    monkeypatch.setenv("PATH", "")
    assert left_over(now + GRACE) == []
    assert look_on(film.pk, now) is False
    assert Film.objects.get(pk=film.pk).problem == ""
