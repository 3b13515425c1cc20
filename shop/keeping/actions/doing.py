"""Does what was asked for, one thing after another, in a process of its own."""

import os
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from django.db import DatabaseError
from django.utils import timezone

from shop.house.queries import house
from shop.keeping import folders, kept, sealed
from shop.keeping.actions.backing_up import BackedUp, backup
from shop.keeping.actions.clockwork import alone, clear_unfinished, note_cut_off
from shop.keeping.actions.erased import write_list
from shop.keeping.actions.exporting import export_everything
from shop.keeping.archive import Refused
from shop.keeping.models import Backup, Export
from shop.keeping.queries import export_file
from shop.keeping.troubles import named

Clock = Callable[[], datetime]
TROUBLE = (Refused, OSError, DatabaseError)


def do_all(clock: Clock) -> int:
    """Do everything that waits; how many things. 0 where another process is at it."""
    with alone() as nobody_else:
        if not nobody_else:
            return 0
        os.nice(10)  # after the people's own work
        note_cut_off()
        clear_unfinished()
        count = 0
        while _do_one(clock):
            count += 1
        return count


def _do_one(clock: Clock) -> bool:
    if one := Backup.objects.filter(begun_at=None).order_by("asked_at").first():
        make(one, clock)
    elif check := Backup.objects.filter(check_asked_at__isnull=False).first():
        look_through(check, clock)
    elif export := Export.objects.filter(begun_at=None).order_by("asked_at").first():
        _write_out(export, clock)
    else:
        return False
    return True


def make(one: Backup, clock: Clock) -> None:
    """Make a back-up, read it back, copy it, and take away what the rule does not keep."""
    one.begun_at, one.tries, one.problem = clock(), one.tries + 1, ""
    one.save(update_fields=["begun_at", "tries", "problem"])
    try:
        done = _make(clock())
    except TROUBLE as error:
        one.problem = named(error)
        one.save(update_fields=["problem"])
        return
    note_done(one, done, clock())
    look_through(one, clock)
    if not one.check_problem:
        _copy(one, done.path)
        folders.thin_out(done.path.parent, done.path.name)
        write_list()


def _make(now: datetime) -> BackedUp:
    words = folders.passphrase()
    name = kept.name_for(timezone.localtime(now, house().zone), bool(words))
    return backup(folders.ready(folders.folder()) / name, now, words)


def note_done(one: Backup, done: BackedUp, now: datetime) -> None:
    """Keep what came of it."""
    one.done_at, one.file_name, one.size = now, done.path.name, done.size
    one.rows, one.files = done.rows, done.files
    one.lacking = len(done.missing) + len(done.damaged)
    one.save()


def look_through(one: Backup, clock: Clock) -> None:
    """Read a back-up through, as a restore would, and keep what is found."""
    try:
        sealed.check(folders.folder() / one.file_name, folders.passphrase())
        one.check_problem = ""
    except (Refused, OSError) as error:
        one.check_problem = named(error)
    one.checked_at, one.check_asked_at = clock(), None
    one.save(update_fields=["check_problem", "checked_at", "check_asked_at"])


def _copy(one: Backup, path: Path) -> None:
    into = folders.second()
    if into is None:
        return
    try:
        folders.copy(path, into)
        folders.thin_out(into, path.name)
    except (Refused, OSError) as error:
        one.second_problem = named(error)
    one.save(update_fields=["second_problem"])


def _write_out(one: Export, clock: Clock) -> None:
    one.begun_at = clock()
    one.save(update_fields=["begun_at"])
    try:
        folders.ready(folders.exports())
        export_everything(export_file(one), clock())
    except TROUBLE as error:
        one.problem = named(error)
    else:
        one.done_at, one.size = clock(), export_file(one).stat().st_size
    one.save()


def note_made(done: BackedUp, now: datetime) -> None:
    """Know a back-up that somebody made by hand, wherever it was laid."""
    if done.path.parent == folders.folder():
        note_done(Backup(asked_at=now, begun_at=now), done, now)
