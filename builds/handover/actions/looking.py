"""The worker's part: how long a film is, its picture, a smaller copy. Only where ffmpeg is there.

The row is the job. A step is a few seconds of the film, so that messages never wait for long; what
is made of the copy lies as files beside one another until it is joined. A step may be done twice.
"""

import logging
from collections.abc import Callable
from datetime import datetime, timedelta
from functools import partial
from math import ceil
from pathlib import Path
from shutil import copyfileobj
from tempfile import gettempdir

from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.db.models import F, Q
from django.utils.translation import gettext as _

from builds.handover.actions import ffmpeg
from builds.handover.models import Film
from shop.clock import ago
from shop.files.actions import Refused as FileRefused
from shop.files.actions import keep, keep_written
from shop.files.queries import on_disk
from shop.history.actions import record

log = logging.getLogger("hiltyard.films")
MOST_TRIES = 3
GRACE = timedelta(minutes=2)  # a step that was begun has this long before another is
LONGEST_S = 3600  # of a film that a smaller copy is made of
_WAITS = Q(blob__isnull=False, looked_at=None, ended_at=None)


def left_over(now: datetime, at_most: int = 5) -> list[int]:
    """Ids of films that nobody is looking at; none where the machine has no ffmpeg."""
    if not ffmpeg.is_there():
        return []
    quiet = Q(tried_at=None) & ago("added_at", GRACE, now) | ago("tried_at", GRACE, now)
    return list(
        Film.objects.filter(_WAITS & quiet).order_by("pk").values_list("pk", flat=True)[:at_most]
    )


def look_on(film_id: int, now: datetime) -> bool:
    """Do the next step for a film; whether there is another."""
    film = Film.objects.filter(_WAITS, pk=film_id).select_related("blob", "build").first()
    if film is None or film.blob is None or not ffmpeg.is_there():
        return False
    if film.tries >= MOST_TRIES:
        return _give_up(
            film, _("No smaller copy could be made of this film. It plays as it came."), now
        )
    claimed = Film.objects.filter(_WAITS, pk=film_id, tries=film.tries)
    if claimed.update(tries=F("tries") + 1, tried_at=now) != 1:
        return False
    try:
        with on_disk(film.blob) as path:
            return _step(film, path, ffmpeg.probe(path, film.blob.media_type), now)
    except ffmpeg.Failed as error:
        log.warning("film %s: %s", film_id, error)
        return True
    except FileNotFoundError:
        return _give_up(film, _("The film itself is missing. Restore it from a back-up."), now)


def _step(film: Film, path: Path, known: ffmpeg.Probed, now: datetime) -> bool:
    if film.poster_id is None and not _made(film, "poster").exists():
        return _picture(film, path, known, now)
    if known.is_light or not 0 < known.seconds <= LONGEST_S:
        return _done(film, now)
    parts = [_made(film, f"{n:05d}.ts") for n in range(ceil(known.seconds / ffmpeg.PART_S))]
    lacking = next((n for n, each in enumerate(parts) if not each.exists()), None)
    if lacking is not None:
        _written(parts[lacking], lambda to: ffmpeg.part(path, lacking, to))
        return _goes_on(film)
    whole = _made(film, "mp4")
    ffmpeg.join(path, [each for each in parts if each.stat().st_size], known.has_sound, whole)
    with whole.open("rb") as joined:
        smaller = keep_written(partial(copyfileobj, joined), "video/mp4", now)
    Film.objects.filter(pk=film.pk, looked_at=None).update(smaller=smaller)
    return _done(film, now)


def _picture(film: Film, path: Path, known: ffmpeg.Probed, now: datetime) -> bool:
    if film.seconds is None and known.seconds:
        Film.objects.filter(pk=film.pk, seconds=None).update(seconds=known.seconds)
    made = _made(film, "jpg")
    ffmpeg.still(path, min(2.0, known.seconds / 3), made)
    try:
        poster = keep(SimpleUploadedFile("poster.jpg", made.read_bytes(), "image/jpeg"), now)
        # Whoever took a still meanwhile has chosen better.
        Film.objects.filter(pk=film.pk, poster=None).update(poster=poster)
    except (FileRefused, FileNotFoundError) as error:
        log.warning("film %s: no picture: %s", film.pk, error)
    made.unlink(missing_ok=True)
    _made(film, "poster").touch()
    return _goes_on(film)


def _goes_on(film: Film) -> bool:
    Film.objects.filter(pk=film.pk).update(tries=0)
    return True


def _done(film: Film, now: datetime) -> bool:
    with transaction.atomic():
        if Film.objects.filter(_WAITS, pk=film.pk).update(looked_at=now, tries=0):
            record("film_looked", film.build.about, None, now)
    _tidy(film)
    return False


def _give_up(film: Film, why: str, now: datetime) -> bool:
    Film.objects.filter(_WAITS, pk=film.pk).update(looked_at=now, problem=why[:200])
    _tidy(film)
    return False


def _written(to: Path, write: Callable[[Path], None]) -> None:
    half = to.with_suffix(".half")
    write(half)
    half.touch()  # past the last picture there is none, and that is a part as well
    half.replace(to)


def _made(film: Film, name: str) -> Path:
    return _folder() / f"film-{film.pk}-{name}"


def _folder() -> Path:
    where = getattr(default_storage, "incoming", None)
    return where() if where else Path(gettempdir())


def _tidy(film: Film) -> None:
    for path in _folder().glob(f"film-{film.pk}-*"):
        path.unlink(missing_ok=True)
