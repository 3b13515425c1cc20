"""Lets someone in again who lost the second step or was shut out by tries: at the machine alone."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop import clock
from shop.people.factors import take_off
from shop.people.queries import find_staff, reset_url, staff
from shop.web.throttle import forget_all


class Command(BaseCommand):
    help = "Take a lost second step off someone on the staff, and forget all counted tries."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("email", help="the address with which they sign in")

    def handle(self, *args: Any, **options: Any) -> None:
        user = find_staff(options["email"])
        if user is None:
            known = ", ".join(staff().filter(is_active=True).values_list("email", flat=True))
            raise CommandError(f"Nobody signs in with {options['email']}. Known: {known or 'none'}")
        take_off(user.pk, by=None, now=clock.now())
        forget_all()
        self.stdout.write(
            f"{user.name} signs in with the password alone now, and no tries are counted.\n"
            f"If the password is lost too, this link sets a new one, once:\n{reset_url(user.pk)}"
        )
