"""Makes a fresh machine ready, with the standard library alone."""

import os


def main(argv):
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    from django.core.management import execute_from_command_line  # noqa: PLC0415

    execute_from_command_line(argv)
    return 0
