"""Where the pieces of a large file lie while it comes, and how they get there durably."""

import os
import tempfile
from collections.abc import Container
from datetime import datetime
from pathlib import Path
from typing import BinaryIO, cast
from uuid import UUID

from django.core.files.storage import default_storage

from shop.files.staging import room_said


def path_of(token: UUID) -> Path:
    """The file that the pieces of an upload are written to."""
    return folder() / str(token)


def folder() -> Path:
    """Where these files lie, for days if need be."""
    return _named("pieces")


def incoming() -> Path:
    """Where a whole file lies until it has its name, on the disk of the others where it can."""
    return _named("incoming")


def _named(which: str) -> Path:
    # An object storage has no such folder: then one of ours does, beside what others keep for now.
    where = getattr(default_storage, which, None)
    if where:
        return cast(Path, where())
    ours = Path(tempfile.gettempdir()) / f"hiltyard-{which}"
    ours.mkdir(mode=0o700, exist_ok=True)
    return ours


def write(file: BinaryIO, offset: int, piece: bytes) -> None:
    """Write a piece; it is on the disk when this returns.

    :raises DiskFull: there is no room for it.
    """
    with room_said():
        file.seek(offset)
        file.write(piece)
        file.flush()
        os.fsync(file.fileno())
        if offset == 0:  # its name in the folder, too
            _sync_folder()


def _sync_folder() -> None:
    handle = os.open(folder(), os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def is_stray(path: Path, kept: Container[UUID], than: datetime) -> bool:
    """Whether a file holds pieces of an upload that nobody knows, and is older than a moment."""
    # Pieces are called by a token. Whatever has another name is not ours.
    try:
        return (
            UUID(path.name) not in kept
            and path.is_file()
            and path.stat().st_mtime < than.timestamp()
        )
    except (ValueError, FileNotFoundError):
        return False
