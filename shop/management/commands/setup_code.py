"""Prints the one-time code of the first set-up, where `start` does not run."""

from typing import Any

from django.core.management import BaseCommand

from shop.env import make_setup_code
from shop.house.queries import is_set_up


class Command(BaseCommand):
    """`manage.py setup_code`."""

    help = "Print the one-time code that the first set-up asks for."

    def handle(self, *args: Any, **options: Any) -> None:
        if is_set_up():
            self.stdout.write("The shop is set up; it needs no code any more.")
        else:
            self.stdout.write(f"The first set-up asks for this code: {make_setup_code()}")
