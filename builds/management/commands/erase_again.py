"""Erases again whom a restore has brought back: `restore` runs it by itself."""

import logging
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from builds.forgetting.actions.erasing import erase_again
from shop import clock
from shop.keeping.actions.erased import read_list, write_list


class Command(BaseCommand):
    """`manage.py erase_again`."""

    help = "Erase again whom a restore has brought back, by the list beside the back-ups."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="where the list of the erased lies")

    def handle(self, *args: Any, folder: Path, **options: Any) -> None:
        # Nothing runs here that could be woken; the shop sweeps when it starts.
        logging.getLogger("hiltyard.wake").setLevel(logging.ERROR)
        listed = read_list(folder)
        count = sum(erase_again(e.pk, e.since, e.until, clock.now()) for e in listed)
        write_list()
        if count:
            self.stdout.write(f"Erased again, as they had asked: {count}.")
