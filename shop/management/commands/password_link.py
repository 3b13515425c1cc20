"""Prints a link by which someone on the staff sets a new password: for a shop without mail."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.people.queries import find_staff, reset_url, staff


class Command(BaseCommand):
    help = "Print a link by which someone on the staff sets a new password."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email", help="the address with which they sign in")

    def handle(self, *args: Any, **options: Any) -> None:
        user = find_staff(options["email"])
        if user is None:
            known = ", ".join(staff().filter(is_active=True).values_list("email", flat=True))
            raise CommandError(f"Nobody signs in with {options['email']}. Known: {known or 'none'}")
        self.stdout.write(f"For {user.name}, to be used once:\n{reset_url(user.pk)}")
