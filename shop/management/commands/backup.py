"""Backs the shop up into one file, while people work; or reads a back-up through."""

import sys
import time
from argparse import ArgumentParser
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand
from django.db import DatabaseError
from django.utils import timezone

from shop import clock
from shop.house.models import House
from shop.house.queries import house
from shop.keeping import folders, kept, place, sealed
from shop.keeping.actions import BackedUp, Refused, backup
from shop.keeping.actions.doing import do_all, note_made
from shop.keeping.asked import asked_passphrase
from shop.web.dated import dated

SECRETS = (
    "It holds the shop's secrets: its keys, the mail password and all that customers told you. "
    "Whoever has the file has the shop."
)
LOCKED = "It is locked: without the passphrase nobody opens it."


class Command(BaseCommand):
    """`manage.py backup`."""

    help = "Back the shop up into one file; people may go on working."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", type=Path, help="a new file, or a folder for it")
        parser.add_argument(
            "--plain", action="store_true", help="without the passphrase that is set"
        )
        how = parser.add_mutually_exclusive_group()
        how.add_argument("--check", type=Path, metavar="FILE", help="read a back-up through")
        how.add_argument(
            "--asked", action="store_true", help="do what was asked for; the shop runs this"
        )

    def handle(self, *args: Any, file: Path | None, **options: Any) -> None:
        try:
            if options["asked"]:
                do_all(clock.now)
            elif options["check"]:
                self._check(options["check"].resolve())
            else:
                self._backup(file, "" if options["plain"] else folders.passphrase())
        except Refused as refusal:
            sys.exit(str(refusal))
        except (OSError, DatabaseError) as error:
            sys.exit(f"Nothing was backed up: {error}")

    def _backup(self, file: Path | None, words: str) -> None:
        began, now = time.monotonic(), clock.now()
        done = backup(_target(file, bool(words)), now, words)
        note_made(done, now)
        self._tell(done, time.monotonic() - began, SECRETS if not words else LOCKED)

    def _tell(self, done: BackedUp, seconds: float, note: str) -> None:
        self.stdout.write(
            f"Backed up {done.rows:,} rows and {done.files:,} files in {seconds:.1f} s "
            f"({done.size / 1e6:,.1f} MB):\n  {done.path}\n{note}"
        )
        for names, word in ((done.missing, "missing"), (done.damaged, "damaged")):
            for name in names:
                self.stderr.write(f"{word}: {name}")
        if done.missing or done.damaged:
            self.stderr.write(
                f"The rest is safe, but {len(done.missing)} photos are missing and "
                f"{len(done.damaged)} damaged: look for them in an older back-up."
            )
            sys.exit(1)

    def _check(self, file: Path) -> None:
        found = sealed.check(file, asked_passphrase(file))
        count = sum(table["rows"] for table in found.tables.values())
        files = sum(name.startswith("media/") for name in found.members)
        made = timezone.localtime(datetime.fromisoformat(found.made_at), _zone())
        self.stdout.write(
            f"{file} is whole: {count:,} rows and {files:,} files of {dated(made, 'full moment')}, "
            "every sum right."
        )


def _zone() -> ZoneInfo:
    """The zone of the shop; a machine that has none yet may check a back-up too."""
    return (house() if place.holds_a_shop() else House()).zone


def _target(file: Path | None, is_locked: bool) -> Path:
    name = kept.name_for(timezone.localtime(clock.now(), house().zone), is_locked)
    if file is None:
        return folders.ready(folders.folder()) / name
    return file.resolve() / name if file.is_dir() else file.resolve()
