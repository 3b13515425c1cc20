"""A storage whose files survive a pulled plug: temp, fsync, rename, fsync of the folder.

Where photos are in an object store instead, ``objects.py`` is named in STORAGES, and nothing else
changes.
"""

import os
import tempfile
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from django.core.files.base import File
from django.core.files.storage import FileSystemStorage

FILE_MODE = 0o640


class StoreAway(OSError):
    """The store of files does not answer, or refuses us; later it may be otherwise."""


class Spool:
    """Folders on this machine's own disk for what has not its name yet."""

    spool: Path

    def incoming(self) -> Path:
        """The folder for files that are still being written."""
        return self._folder("incoming")

    def pieces(self) -> Path:
        """The folder for large files that come in pieces, over days if need be."""
        return self._folder("pieces")

    def discard_unfinished(self, than: datetime) -> int:
        """Delete what a process that died was still writing; how many files."""
        old = [
            path for path in self.incoming().iterdir() if path.stat().st_mtime < than.timestamp()
        ]
        for path in old:
            path.unlink(missing_ok=True)
        return len(old)

    def _folder(self, name: str) -> Path:
        folder = self.spool / name
        folder.mkdir(parents=True, exist_ok=True)
        return folder


class DurableStorage(Spool, FileSystemStorage):
    """Files on disk. What ``save`` has returned for is there after a power cut.

    A name is overwritten by the same name: names come from the content, so the bytes are equal.
    """

    def __init__(self, **options: Any) -> None:
        super().__init__(allow_overwrite=True, **options)

    @property
    def spool(self) -> Path:  # type: ignore[override]
        """On the disk of the others, so that a file gets its name by being renamed."""
        return Path(self.location)

    def discard_older(self, name: str, than: datetime) -> bool:
        """Delete a file unless it was written anew since ``than``.

        The file is moved aside first and judged there, so that one renamed into its place at the
        same moment is seen for what it is and put back.
        """
        path, aside = Path(self.path(name)), self.incoming() / f"aside-{os.getpid()}"
        with suppress(FileNotFoundError):
            os.replace(path, aside)
            if aside.stat().st_mtime >= than.timestamp():
                os.replace(aside, path)
                return False
            aside.unlink()
            return True
        return False

    def _save(self, name: str, content: "File[Any]") -> str:
        written = self._written_here(content) or self._copied(content)
        target = Path(self.path(name))
        _make_folder(target.parent)
        os.replace(written, target)
        _sync(target.parent)
        return name

    def _written_here(self, content: "File[Any]") -> Path | None:
        # A file that was staged in our own folder is renamed instead of copied once more.
        path = Path(getattr(content, "name", None) or "")
        if path.parent != self.incoming():
            return None
        path.chmod(FILE_MODE)
        _sync(path)
        return path

    def _copied(self, content: "File[Any]") -> Path:
        with tempfile.NamedTemporaryFile(dir=self.incoming(), delete=False) as copy:
            try:
                for chunk in content.chunks():
                    copy.write(chunk)
                copy.flush()
                os.fchmod(copy.fileno(), FILE_MODE)
                os.fsync(copy.fileno())
            except BaseException:
                os.unlink(copy.name)  # on a full disk the half of it is in the way
                raise
        return Path(copy.name)


def _make_folder(folder: Path) -> None:
    """Make a folder and its parents, each entered durably into the folder above."""
    if folder.is_dir():
        return
    _make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    _sync(folder.parent)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
