"""Takes an upload in: counted and hashed while it is copied, trusted in nothing."""

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import file_digest, sha256
from pathlib import Path
from typing import IO, Any

from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile

from shop.files.refusals import DiskFull, Empty, TooLarge
from shop.web.trouble import FULL


@dataclass(frozen=True)
class Staged:
    """An upload as it lies in the folder for incoming files."""

    path: Path
    size: int
    sha256: str


@contextmanager
def room_said() -> Iterator[None]:
    """Say in our words that the disk is full."""
    try:
        yield
    except OSError as error:
        if error.errno in FULL:
            raise DiskFull from error
        raise


@contextmanager
def staged(upload: "UploadedFile[Any]", at_most: int) -> Iterator[Staged]:
    """Copy an upload to a temporary file, which is gone afterwards unless it was renamed."""
    # An object storage has no such folder: then the system's own temporary folder does.
    folder = getattr(default_storage, "incoming", lambda: None)()
    with room_said(), tempfile.NamedTemporaryFile(dir=folder, delete=False) as copy:
        path = Path(copy.name)
        try:
            size, digest = _copy(upload, copy, at_most)
            copy.flush()
            yield Staged(path, size, digest)
        finally:
            path.unlink(missing_ok=True)


@contextmanager
def written(write: Callable[[IO[bytes]], object]) -> Iterator[Staged]:
    """Let something be written to a temporary file, gone afterwards unless it was renamed."""
    folder = getattr(default_storage, "incoming", lambda: None)()
    with room_said(), tempfile.NamedTemporaryFile(dir=folder, delete=False) as copy:
        path = Path(copy.name)
        try:
            write(copy)
            copy.flush()
            size = path.stat().st_size
            if not size:
                raise Empty
            with path.open("rb") as file:
                yield Staged(path, size, file_digest(file, "sha256").hexdigest())
        finally:
            path.unlink(missing_ok=True)


def _copy(upload: "UploadedFile[Any]", copy: IO[Any], at_most: int) -> tuple[int, str]:
    size, digest = 0, sha256()
    for chunk in upload.chunks():
        size += len(chunk)
        if size > at_most:
            raise TooLarge
        digest.update(chunk)
        copy.write(chunk)
    if not size:
        raise Empty
    return size, digest.hexdigest()
