"""The demo's film: the project draws it itself. ``film.webm`` beside this was made by

    python -m builds.demo.film        (wants ffmpeg, with VP9)

from the frames below, and is kept as a file, so that the demo wants no such program.
"""

import subprocess
import sys
from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.demo.metal import hilt
from builds.demo.pen import BLUE, INK, PLATE, QUIET, WIDTH, Pen
from builds.demo.shapes import SHAPES
from builds.handover.actions.chapters import Mark, add_chapter
from builds.handover.actions.films import Source, publish, put_film, set_poster
from builds.handover.actions.shots import tick_shot
from builds.handover.queries.shots import Shot, shots_of
from builds.progress.models import Build
from shop.files.actions import keep, keep_file
from shop.files.models import Blob
from shop.files.rendering import render

FILE = Path(__file__).with_name("film.webm")
RATE, SECONDS = 12, 24
SIZE, TOP, BOTTOM = (640, 480), 60, 420  # of the sheet, what the film shows
SEEN = ("Osier", "Weir House")  # sent with its film; packed, its customer has seen it
TO_COME = "Tallow Bridge"  # filmed, and not published yet
SHAPE = "Weir House"
# Where each scene begins, in seconds; the last one runs to the end.
SCENES = (0, 4, 8, 11, 14, 17, 21)
_STILL = 2  # the scene whose end is the picture
_OF = ("opening", "gesture:", "slot:", "slot:", "slot:", "step:", "closing")
_SLOTS = ("#0080FF", "#00C060", "#FF4000")
_MINUTE = timedelta(minutes=1)


def kept(now: datetime) -> tuple[Blob, Blob]:
    """The film's bytes and its picture, kept: before the transaction, as the pictures."""
    content, still = FILE.read_bytes(), BytesIO()
    _frame(_STILL, 1.0).save(still, "JPEG", quality=88)
    upload = SimpleUploadedFile(FILE.name, content)
    poster = keep(SimpleUploadedFile("still.jpg", still.getvalue(), "image/jpeg"), now)
    render(poster.pk, now)
    return keep_file(upload, "video/webm", now, at_most=len(content)), poster


def show(kept: tuple[Blob, Blob], made: dict[str, Build], crew: Crew, days: Days) -> None:
    """Builds with their film: two that their owners have, one that is still to be published."""
    for hilt_of, back in zip((*SEEN, TO_COME), (12, 4, 3), strict=True):
        _film(kept, made[hilt_of], crew, days, back=back)


def _film(kept: tuple[Blob, Blob], build: Build, crew: Crew, days: Days, back: int) -> None:
    now, by = days.back(back, 14), crew.jory
    shots = shots_of(build).all
    for at, shot in enumerate(shots):
        mark = token("shot", build.pk, shot.code)
        tick_shot(build.pk, shot.code, token=mark, by=by, now=now + at * _MINUTE)
    now += timedelta(hours=1)
    film = put_film(
        build.pk, Source(kept[0]), seen=0, token=token("film", build.pk), by=by, now=now
    )
    set_poster(film.pk, kept[1], by=by, now=now)
    for second, shot in _scenes(shots):
        add_chapter(
            film.pk, Mark(second * 1000, shot.title[:120], shot.code), seconds=float(SECONDS),
            token=token("chapter", build.pk, second), by=by, now=now,
        )  # fmt: skip
    if build.hilt and build.hilt.name in SEEN:
        publish(film.pk, by=crew.oda, now=now + _MINUTE)


def _scenes(shots: Sequence[Shot]) -> Iterator[tuple[int, Shot]]:
    """Where the film shows a shot of a list, as far as it does."""
    left = list(shots)
    for second, begins in zip(SCENES, _OF, strict=True):
        shot = next((each for each in left if each.code.startswith(begins)), None)
        if shot:
            left.remove(shot)
            yield second, shot


def frames() -> Iterator[Image.Image]:
    """Every frame of the film, one after another."""
    for frame in range(RATE * SECONDS):
        second = frame / RATE
        scene = max(at for at, begins in enumerate(SCENES) if begins <= second)
        end = SCENES[scene + 1] if scene + 1 < len(SCENES) else SECONDS
        share = (second - SCENES[scene]) / (end - SCENES[scene])
        yield _frame(scene, share)


def _frame(scene: int, share: float) -> Image.Image:
    pen = Pen(SIZE)
    pen.rect((0, 0, WIDTH, 1200), PLATE, PLATE, 1)
    pen.rect((30, 180, WIDTH - 30, 1020), PLATE, INK, 2.5)
    pen.text((70, 260), _WORDS[scene], 44, weight=680)
    pen.text((70, 310), "Drawn, not filmed", 28, colour=QUIET)
    _hilt(pen, gap=60 * _there_and_back(share) if scene == 5 else 0)
    if scene in _LIT:
        _blade(pen, _LIT[scene], min(1.0, share * 3))
    return pen.sheet.reduce(2).crop((0, TOP, SIZE[0], BOTTOM))


_WORDS = (
    "Flashing light follows", "Switch on", "Slot 1: sky blue", "Slot 2: green", "Slot 3: orange",
    "Taking it apart", "Switched off",
)  # fmt: skip
_LIT = {1: BLUE, 2: _SLOTS[0], 3: _SLOTS[1], 4: _SLOTS[2]}
_AT, _LONG = (890.0, 640.0), 640.0  # where its blade's end is, and how long it is drawn


def _there_and_back(share: float) -> float:
    return 1 - abs(2 * share - 1)


def _hilt(pen: Pen, gap: float) -> None:
    shape = SHAPES[SHAPE]
    parts = len(shape.sections) - 1
    hilt(pen, shape, _AT[0] - parts * gap, _AT[1], _LONG / shape.length, back=False, gap=gap)


def _blade(pen: Pen, colour: str, share: float) -> None:
    begins, y = _AT
    tip = begins - 30 - 790 * share
    pen.rect((tip, y - 30, begins, y + 30), colour, INK, 2)
    pen.line([(tip + 8, y - 10), (begins - 8, y - 10)], PLATE, 5)


def main() -> None:
    """Draw the film and write it beside this file."""
    command = [
        "ffmpeg", "-y", "-loglevel", "error", "-f", "rawvideo", "-pixel_format", "rgb24",
        "-video_size", f"{SIZE[0]}x{BOTTOM - TOP}", "-framerate", str(RATE), "-i", "-",
        "-c:v", "libvpx-vp9", "-crf", "38", "-b:v", "0", "-g", "24", "-pix_fmt", "yuv420p",
        str(FILE),
    ]  # fmt: skip
    with subprocess.Popen(command, stdin=subprocess.PIPE) as made:  # noqa: S603 (our own words)
        if made.stdin is None:
            sys.exit("ffmpeg reads nothing")
        for picture in frames():
            made.stdin.write(picture.tobytes())


if __name__ == "__main__":
    main()
