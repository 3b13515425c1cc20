"""The passphrase of a back-up: from the environment or the env file, else asked for."""

import sys
from getpass import getpass
from pathlib import Path

from shop.keeping import folders, sealed


def asked_passphrase(file: Path) -> str:
    """The words for a file; empty where it is under none, or nobody is there to be asked."""
    if not sealed.is_sealed(file):
        return ""
    return folders.passphrase() or (_typed(file) if sys.stdin.isatty() else "")


def _typed(file: Path) -> str:
    try:
        return getpass(f"Passphrase of {file.name}: ")
    except EOFError:  # Ctrl-D: nobody says it
        return ""
