"""Restores a back-up into an empty place."""

import os
import shlex
import sys
import time
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.db import DatabaseError

from shop import env
from shop.claims import Refusal
from shop.keeping.actions import Refused, Restored, restore
from shop.keeping.actions.erased import has_list
from shop.keeping.asked import asked_passphrase


class Command(BaseCommand):
    """`manage.py restore`."""

    help = "Put a back-up into an empty place; the shop must not run."
    requires_system_checks = ()

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="what `backup` wrote")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        began = time.monotonic()
        try:
            done = restore(file.resolve(), asked_passphrase(file))
        except (Refused, Refusal) as refusal:
            sys.exit(str(refusal))
        except (OSError, DatabaseError) as error:
            sys.exit(f"Nothing was restored: {error}")
        if done.was_whole:
            self.stdout.write("The restore that was cut off had put everything in place.")
        else:
            self._tell(done, time.monotonic() - began)
        self._forget_again(file.resolve().parent)
        where = os.environ.get("HILTYARD_DATA")
        before = f"HILTYARD_DATA={shlex.quote(where)} " if where else ""
        self.stdout.write(f"Start it there: {before}python3 manage.py start")

    def _forget_again(self, folder: Path) -> None:
        if has_list(folder):
            call_command("erase_again", folder)
        else:
            self.stdout.write(
                "No list of the erased lies beside the file: whoever was erased since is back, "
                "and is to be erased again."
            )

    def _tell(self, done: Restored, seconds: float) -> None:
        self.stdout.write(
            f"Restored {done.rows:,} rows and {done.files:,} files in {seconds:.1f} s into "
            f"{env.data_dir()}. Everyone signs in anew."
        )
        if done.missing or done.damaged:
            self.stderr.write(
                f"When it was backed up, {len(done.missing)} photos were missing and "
                f"{len(done.damaged)} damaged."
            )
        for name in done.other_keys:
            self.stderr.write(
                f"{name} is set to something else on this machine: take it away, or links and "
                "passwords of the restored shop do not work."
            )
