"""Fills an empty shop with the demo."""

import logging
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from builds.demo.fill import fill
from shop import clock
from shop.house.queries import is_set_up
from shop.web import mailserver


class Command(BaseCommand):
    """`manage.py demo`."""

    help = "Fill an empty shop with an invented one, to look around in."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--address",
            default="http://localhost:8000",
            help="where the shop is opened; its tags and its customers' links lead there",
        )

    def handle(self, *args: Any, address: str, **options: Any) -> None:
        if is_set_up():
            raise CommandError("The shop is set up already; the demo fills an empty one alone.")
        if mailserver.is_set():
            raise CommandError(
                "A mail server is set, and the demo would write to people who do not exist. "
                "Take EMAIL_URL away and type the command again."
            )
        # Before `start` has a broker up, nobody is woken: the worker's first sweep finds it all.
        logging.getLogger("hiltyard.wake").setLevel(logging.ERROR)
        self.stdout.write("Drawing the pictures of the demo shop: half a minute")
        self.stdout.flush()
        filled = fill(clock.now(), address.rstrip("/"))
        self.stdout.write(f"The demo shop is filled: {filled.builds} builds. Sign in with")
        for email, password in filled.sign_ins:
            self.stdout.write(f"  {email}   {password}")
        self.stdout.write(f"{filled.customer}’s private page: {filled.page}")
        self.stdout.write(f"{filled.owner}’s finished hilt: {filled.hilt_page}")
