"""Runs the commands of manage.py, in a data folder that is ready for them."""

import os
import sys

from django.core.management import execute_from_command_line

from shop import env, folder

CUT_OFF = (
    "A restore into {} is going on or was cut off, and the shop in it is not whole: let it end, or "
    "type `python3 manage.py restore FILE` again.\n"
)


def run(argv: list[str]) -> int:
    """Make the data folder and run a command."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    os.environ["HILTYARD_DATA"] = str(env.data_dir())
    try:
        folder.prepare()
    except folder.Unwritable as refusal:
        sys.stderr.write(f"{refusal}\n")
        return 1
    if folder.restoring().exists() and argv[1:2] not in (["restore"], ["help"]):
        sys.stderr.write(CUT_OFF.format(env.data_dir()))
        return 1
    try:
        execute_from_command_line(argv)
    except KeyboardInterrupt:
        return 130  # Ctrl-C before everything ran: no need for pages of where it was
    return 0
