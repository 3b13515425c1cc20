"""Gathers every text of the tool for translation, and makes of what is translated what is read.

For whoever changes the tool, in a checkout: it needs the programs of GNU gettext.
"""

import re
from argparse import ArgumentParser
from pathlib import Path
from subprocess import run
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.management.commands import makemessages

SOURCE = "en"  # what the texts are written in
# The moment of gathering would make a change of every look.
_MOMENT = re.compile(r'^"POT-Creation-Date: .*\\n"\n', re.MULTILINE)


class Gather(makemessages.Command):
    """Django's own, which also knows the short names in tables of words: t (lazy), n (noop)."""

    xgettext_options = [*makemessages.Command.xgettext_options, "--keyword=t", "--keyword=n"]
    # A guess from a text that is like it would pass for a translation.
    msgmerge_options = [*makemessages.Command.msgmerge_options, "--no-fuzzy-matching"]


class Command(BaseCommand):
    help = "Bring the lists of texts in shop/locale up to date, and say what is not translated."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--new", default="", help="the code of a language to begin, such as nl")

    def handle(self, *args: Any, **options: Any) -> None:
        codes = [code for code, _name in settings.LANGUAGES if not code.startswith(SOURCE)]
        folder = Path(settings.LOCALE_PATHS[0])
        folder.mkdir(exist_ok=True)
        for code in sorted({*codes, options["new"]} - {""}):
            call_command(
                Gather(), locale=[code], no_obsolete=True, add_location="file", no_wrap=True,
                ignore_patterns=["tests", ".venv*"], extensions=["html", "txt", "svg", "py"],
                verbosity=0,
            )  # fmt: skip
            self._finish(folder / code / "LC_MESSAGES" / "django.po")

    def _finish(self, listed: Path) -> None:
        listed.write_text(_MOMENT.sub("", listed.read_text("utf-8")), "utf-8")
        compiled = listed.with_suffix(".mo")
        made = run(  # noqa: S603 - our own files alone
            ["msgfmt", "--check", "--statistics", "--output-file", compiled, listed],  # noqa: S607
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        if made.returncode:
            raise CommandError(made.stderr)
        self.stdout.write(f"{listed.parent.parent.name}: {made.stderr.strip()}")
