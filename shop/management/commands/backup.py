"""Backs the shop up into one file, while people work."""

import sys
import time
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.db import DatabaseError

from shop import clock, env
from shop.keeping.actions import BackedUp, Refused, backup

SECRETS = (
    "It holds the shop's secrets: its keys, the mail password and all that customers told you. "
    "Whoever has the file has the shop."
)


class Command(BaseCommand):
    """`manage.py backup`."""

    help = "Back the shop up into one file; people may go on working."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", type=Path, help="a new file, or a folder for it")

    def handle(self, *args: Any, file: Path | None, **options: Any) -> None:
        began = time.monotonic()
        try:
            done = backup(_target(file), clock.now())
        except Refused as refusal:
            sys.exit(str(refusal))
        except (OSError, DatabaseError) as error:
            sys.exit(f"Nothing was backed up: {error}")
        self._tell(done, time.monotonic() - began)

    def _tell(self, done: BackedUp, seconds: float) -> None:
        self.stdout.write(
            f"Backed up {done.rows:,} rows and {done.files:,} files in {seconds:.1f} s "
            f"({done.size / 1e6:,.1f} MB):\n  {done.path}\n{SECRETS}"
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


def _target(file: Path | None) -> Path:
    name = f"hiltyard-{clock.now().astimezone():%Y%m%d-%H%M%S}.tar"
    if file is None:
        folder = env.data_dir() / "backups"
        folder.mkdir(mode=0o700, exist_ok=True)
        return folder / name
    return file.resolve() / name if file.is_dir() else file.resolve()
