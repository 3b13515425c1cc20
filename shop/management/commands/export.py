"""Writes everything out as CSV, JSON and files, to be read without this tool."""

import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand
from django.db import DatabaseError

from shop import clock
from shop.keeping.actions import Refused
from shop.keeping.actions.exporting import export_everything


class Command(BaseCommand):
    """`manage.py export`."""

    help = "Write everything out, to be read without this tool; people may go on working."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("target", type=Path, help="a new folder, or a file that ends in .zip")

    def handle(self, *args: Any, target: Path, **options: Any) -> None:
        try:
            counts = export_everything(target.expanduser().resolve(), clock.now())
        except Refused as refusal:
            sys.exit(str(refusal))
        except (OSError, DatabaseError) as error:
            sys.exit(f"Nothing was exported: {error}")
        self.stdout.write(
            f"Wrote {sum(counts.values()):,} rows of {len(counts)} tables to {target}; README.txt "
            "explains them. It holds what customers told you."
        )
