"""Fills an empty shop with a past of any size, to look at how it does in its tenth year."""

import logging
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from builds.demo.past.fill import LEAST, fill_past
from shop import clock
from shop.house.queries import is_set_up
from shop.people.models import Customer
from shop.web import mailserver


class Command(BaseCommand):
    """`manage.py fill --builds N`."""

    help = "Fill an empty shop with the demo and, before it, a past of many builds."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--builds", type=int, required=True, help="how many there are at last")
        parser.add_argument("--seed", type=int, default=1, help="the same tells the same past")
        parser.add_argument("--address", default="http://localhost:8000", help="of the shop")

    def handle(self, *args: Any, builds: int, seed: int, address: str, **options: Any) -> None:
        if is_set_up() or Customer.objects.exists():
            raise CommandError("The shop holds something already; only an empty one is filled.")
        if builds < LEAST:
            raise CommandError(f"A past begins at {LEAST} builds; for fewer there is the demo.")
        if mailserver.is_set():
            raise CommandError(
                "A mail server is set, and people would be written to who do not exist. "
                "Take EMAIL_URL away and type the command again."
            )
        logging.getLogger("hiltyard.wake").setLevel(logging.ERROR)
        filled = fill_past(clock.now(), address.rstrip("/"), builds, seed, self._say)
        self._say(f"The shop is filled: {filled.builds:,} builds. Sign in with")
        for email, password in filled.sign_ins:
            self._say(f"  {email}   {password}")

    def _say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()
