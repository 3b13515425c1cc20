"""What the owner asks for: a back-up now, a check, an export; and where back-ups go."""

from dataclasses import dataclass
from datetime import datetime, time
from pathlib import Path
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from shop import env
from shop.history.actions import record
from shop.house.models import House
from shop.keeping import folders, kept, sealed
from shop.keeping.archive import Refused
from shop.keeping.models import Backup, Export
from shop.web.wake import wake

LOOK = "shop.keeping.tasks.look"


@dataclass(frozen=True)
class Where:
    """Where and when back-ups are made; an empty folder is the usual one."""

    at: time
    folder: str
    second: str


@transaction.atomic
def ask_backup(*, token: UUID, by: Any, now: datetime) -> Backup:
    """Have a back-up made as soon as may be; the same token again is the same back-up."""
    asked, is_new = Backup.objects.get_or_create(
        token=token, defaults={"asked_at": now, "asked_by": by}
    )
    if is_new:
        record("backup_asked", "house", by, now)
    wake(LOOK)
    return asked


@transaction.atomic
def ask_check(name: str, *, by: Any, now: datetime) -> Backup:
    """Have a back-up of the folder read through."""
    if kept.made_of(name) is None or not (folders.folder() / name).is_file():
        raise Refused(_("That back-up is no longer in the folder."))
    row = Backup.objects.filter(file_name=name).first() or take_note(name, now)
    Backup.objects.filter(pk=row.pk, check_asked_at=None).update(check_asked_at=now)
    wake(LOOK)
    return row


def take_note(name: str, now: datetime) -> Backup:
    """Know a back-up that was laid into the folder by somebody else."""
    size = folders.size_of(folders.folder() / name)
    return Backup.objects.create(asked_at=now, begun_at=now, done_at=now, file_name=name, size=size)


@transaction.atomic
def ask_export(*, token: UUID, by: Any, now: datetime) -> Export:
    """Have everything written out; the same token again is the same export."""
    asked, is_new = Export.objects.get_or_create(
        token=token, defaults={"asked_at": now, "asked_by": by}
    )
    if is_new:
        record("export_asked", "house", by, now)
    wake(LOOK)
    return asked


@transaction.atomic
def save_where(where: Where, *, by: Any, now: datetime) -> None:
    """Keep the hour, and both folders where the machine's environment does not say them."""
    House.objects.filter(id=1).update(backup_at=where.at)
    for name, value in ((folders.FOLDER, where.folder), (folders.SECOND, where.second)):
        if not folders.is_fixed(name):
            env.write_typed(name, value)
    record("backups_changed", "house", by, now)


@transaction.atomic
def save_passphrase(words: str, *, by: Any, now: datetime) -> None:
    """Lock back-ups from now on; empty: leave them open. It lies in the env file, mode 600."""
    env.write_typed(sealed.PASSPHRASE, words)
    record("backups_locked" if words else "backups_unlocked", "house", by, now)


def check_folder(named: str) -> str:
    """A folder as it was typed, in full; ``Refused`` where back-ups cannot lie in it."""
    if not named:
        return ""
    try:
        path = Path(named).expanduser()
        is_whole, path = path.is_absolute(), path.resolve()
    except (OSError, RuntimeError) as error:  # nobody's home, or links in a circle
        raise Refused(_("There is no such folder, or it cannot be written to.")) from error
    if not is_whole:
        raise Refused(_("Name the whole path, from / on."))
    if path.is_relative_to(env.data_dir() / "media"):
        raise Refused(_("Not among the photos: choose a folder of its own."))
    try:
        return str(folders.ready(path))
    except (OSError, Refused) as refusal:  # longer than any name may be, or not there
        raise Refused(_("There is no such folder, or it cannot be written to.")) from refusal
