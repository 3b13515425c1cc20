"""The worker's part: looks at the files of a set one by one, or makes them for a copy.

The rows are the job. Each step is one file, claimed by counting the try before it is begun, so that
a file that kills the worker is given up in the end; a step may be done twice without harm.
"""

from datetime import datetime, timedelta
from pathlib import Path
from typing import IO, Any

from django.db import transaction
from django.db.models import F, Q

from builds.sounds.audit.archives import ArchiveRefused, Member, unpack
from builds.sounds.audit.convert import convert
from builds.sounds.audit.findings import of_file
from builds.sounds.audit.heard import listen
from builds.sounds.audit.samples import NotRead, opened
from builds.sounds.audit.wave import NotWave, Wave, read_wave
from builds.sounds.models import CardProfile, SoundFile, SoundSet
from builds.sounds.states import SetState
from shop.clock import ago
from shop.files.actions import Empty, keep_written
from shop.files.models import Blob
from shop.files.queries import on_disk
from shop.history.actions import record

MOST_TRIES = 3
GRACE = timedelta(seconds=60)  # a wake-up has this long before the sweep sends another
_WAITS = Q(state__in=[SetState.KEPT, SetState.LOOKING], ended_at=None)


def left_over(now: datetime, at_most: int = 20) -> list[int]:
    """Ids of sets that nobody is looking at."""
    quiet = Q(stirred_at=None) & ago("added_at", GRACE, now) | ago("stirred_at", GRACE, now)
    rows = SoundSet.objects.filter(_WAITS & quiet).order_by("pk")
    return list(rows.values_list("pk", flat=True)[:at_most])


def look_at_next(set_id: int, now: datetime) -> bool:
    """Look at one more file of a set; False when there is none left."""
    held = SoundSet.objects.filter(_WAITS, pk=set_id).first()
    if held is None:
        return False
    file = held.files.filter(looked_at=None).order_by("tries", "pk").first()
    if file is None:
        _finish(held, now)
        return False
    SoundSet.objects.filter(pk=set_id).update(stirred_at=now, state=SetState.LOOKING)
    claimed = SoundFile.objects.filter(pk=file.pk, looked_at=None, tries=file.tries)
    if claimed.update(tries=F("tries") + 1) != 1:
        return True  # somebody else is at it
    blob, facts = _looked(held, file) if file.tries < MOST_TRIES else (file.blob, _GAVE_UP)
    _keep(held, file, blob, facts, now)
    return True


_GAVE_UP: dict[str, Any] = {"kind": "unknown", "unread": "gave-up"}


def _looked(held: SoundSet, file: SoundFile) -> tuple[Blob | None, dict[str, Any]]:
    try:
        blob = file.blob or _made(held, file)
        with on_disk(blob) as path:
            return blob, listen(path)
    except (ArchiveRefused, NotRead, NotWave) as error:
        return file.blob, {"kind": "unknown", "unread": error.code}
    except Empty:
        return None, {"kind": "empty"}
    except FileNotFoundError:
        return file.blob, {"kind": "unknown", "unread": "gone"}


def _made(held: SoundSet, file: SoundFile) -> Blob:
    if file.made_from is not None:
        return _converted(held, file.made_from)
    if held.archive is None:
        raise Empty
    member = Member(file.path, file.size, file.place)
    with on_disk(held.archive) as path, path.open("rb") as archive:
        return keep_written(
            lambda out: unpack(archive, member, out), "application/octet-stream", held.added_at
        )


def _converted(held: SoundSet, source: SoundFile) -> Blob:
    wish = CardProfile.objects.get(part=held.made_for)
    if source.blob is None:
        raise Empty
    with on_disk(source.blob) as path:
        sound = opened(path, _header_of(path))

        def write(out: IO[bytes]) -> None:
            convert(sound, wish.rate_hz, wish.bits, wish.channels, out)

        return keep_written(write, "audio/wav", held.added_at)


def _header_of(path: Path) -> Wave | None:
    with path.open("rb") as file:
        try:
            return read_wave(file, path.stat().st_size)
        except NotWave:
            return None


@transaction.atomic
def _keep(
    held: SoundSet, file: SoundFile, blob: Blob | None, facts: dict[str, Any], now: datetime
) -> None:
    found = [[each.code, int(each.level), dict(each.figures)] for each in of_file(file.path, facts)]
    size = blob.size if blob else file.size
    kept = SoundFile.objects.filter(pk=file.pk, looked_at=None)
    kept.update(blob=blob, size=size, facts=facts, findings=found, looked_at=now)
    done = held.files.exclude(looked_at=None).count()
    SoundSet.objects.filter(pk=held.pk).update(done=done, stirred_at=now)


@transaction.atomic
def _finish(held: SoundSet, now: datetime) -> None:
    waiting = SoundSet.objects.filter(_WAITS, pk=held.pk)
    if waiting.update(state=SetState.LOOKED, stirred_at=now, done=held.files.count()):
        record("sound_set_looked", held.about, None, now, name=held.name)
