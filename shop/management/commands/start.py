"""Runs the shop in this terminal."""

import sys
from argparse import ArgumentParser
from typing import Any

from django.core.management import BaseCommand

from shop.claims import Refusal
from shop.launcher import start
from shop.running import LOOPBACK


class Command(BaseCommand):
    """`manage.py start`."""

    # They load every page of the shop, and the launcher lives as long as it: asked in a child.
    requires_system_checks = []

    help = "Run the shop: web server, worker, clock and broker in this terminal."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--demo", action="store_true", help="fill an empty shop with a demo")
        parser.add_argument("--host", default=LOOPBACK, help="0.0.0.0 listens on every address")
        parser.add_argument("--port", type=int, default=8000)

    def handle(self, *args: Any, host: str, port: int, demo: bool, **options: Any) -> None:
        try:
            start(host, port, demo)
        except Refusal as refusal:
            sys.stderr.write(f"{refusal}\n")
            sys.exit(1)
