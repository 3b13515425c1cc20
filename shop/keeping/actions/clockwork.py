"""What the clock does of back-ups: sees what is due, and has a process of its own do it.

A back-up of fifty gigabytes takes longer than any task of the worker may: the task only looks,
and starts a process that ends with the shop. Two never work at once: a lock in the data folder.
"""

import fcntl
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from django.utils import timezone

from shop import env
from shop.clock import AHEAD, ago, within
from shop.house.models import House
from shop.house.queries import house, is_set_up
from shop.keeping import folders
from shop.keeping.models import Backup, Export
from shop.keeping.queries import export_file
from shop.keeping.troubles import CUT_OFF

AGAIN_AFTER, MOST_TRIES = timedelta(hours=1), 3
EXPORTS_FOR = timedelta(days=2)


@contextmanager
def alone() -> Iterator[bool]:
    """Whether nobody else is at it; as long as this lasts, nobody will be."""
    held = os.open(env.data_dir() / "run" / "keeping", os.O_RDWR | os.O_CREAT, 0o600)
    try:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            yield False
        else:
            yield True
    finally:
        os.close(held)


def look(now: datetime) -> bool:
    """Note what is due and what was cut off; start the process where something waits."""
    if not is_set_up():
        return False
    with alone() as nobody_else:
        if not nobody_else:
            return False
        note_cut_off()
        _note_due(house(), now)
        _take_away_old_exports(now)
    if not anything_waits():
        return False
    start_process()
    return True


def note_cut_off() -> None:
    """Say of what was begun and never ended why; to be asked while nobody is at it."""
    for model in (Backup, Export):
        model.objects.filter(begun_at__isnull=False, done_at=None, problem="").update(
            problem=CUT_OFF
        )


def _note_due(shop: House, now: datetime) -> None:
    night = timezone.localtime(now, shop.zone)
    today = night.date()
    if night.time() < shop.backup_at or _set_up_since(shop, night):
        return
    one, _made = Backup.objects.get_or_create(night=today, defaults={"asked_at": now})
    has_rested = one.begun_at and not within(one.begun_at, AGAIN_AFTER, now)
    if one.problem and one.tries < MOST_TRIES and has_rested:
        Backup.objects.filter(pk=one.pk).update(begun_at=None, problem="")


def _set_up_since(shop: House, night: datetime) -> bool:
    # A shop of this morning has had no night yet.
    hour = datetime.combine(night.date(), shop.backup_at, shop.zone)
    # One that is set up only tomorrow has a clock that is wrong, and a night like any other.
    return shop.set_up_at is None or hour < shop.set_up_at <= night + AHEAD


def _take_away_old_exports(now: datetime) -> None:
    for each in Export.objects.filter(ago("asked_at", EXPORTS_FOR, now), gone_at=None):
        export_file(each).unlink(missing_ok=True)
        Export.objects.filter(pk=each.pk).update(gone_at=now)


def anything_waits() -> bool:
    """Whether there is something to do."""
    return (
        Backup.objects.filter(begun_at=None).exists()
        or Export.objects.filter(begun_at=None).exists()
        or Backup.objects.filter(check_asked_at__isnull=False).exists()
    )


def start_process() -> None:
    """Start a process that does what waits. It stays in the group of the worker, and so ends with
    the shop; what it was at is begun anew."""
    subprocess.Popen(  # noqa: S603 (our own command)
        [sys.executable, str(env.BASE_DIR / "manage.py"), "backup", "--asked"],
        cwd=env.BASE_DIR,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
    )


def clear_unfinished() -> None:
    """Take away what a process that died has left half-written."""
    for path in (folders.folder(), folders.second(), folders.exports()):
        if path:
            folders.clear_unfinished(path)
