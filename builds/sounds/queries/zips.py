"""Zips made as they are sent: nothing is packed, so their length is known and no file is made."""

import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from builds.sounds.models import SoundFile
from shop.files.models import Blob
from shop.files.queries import on_disk

STEP = 256 * 1024
_EPOCH = (1980, 1, 1, 0, 0, 0)  # no date of ours: the same files give the same bytes


@dataclass(frozen=True)
class Entry:
    """A file as it lies in a zip."""

    path: str
    blob: Blob


class _Sink:
    """What a zip writes to: handed on and forgotten."""

    def __init__(self) -> None:
        self.pieces: list[bytes] = []
        self.length = 0

    def write(self, piece: bytes) -> int:
        self.pieces.append(bytes(piece))
        self.length += len(piece)
        return len(piece)

    def tell(self) -> int:
        return self.length

    def flush(self) -> None:
        """Nothing waits here."""

    def taken(self) -> Iterator[bytes]:
        """What was written since the last time."""
        yield from self.pieces
        self.pieces.clear()


def entries_of(files: Sequence[SoundFile]) -> list[Entry]:
    """The files of a set that are there."""
    return [Entry(file.path, file.blob) for file in files if file.blob is not None]


def zipped(entries: Sequence[Entry]) -> Iterator[bytes]:
    """The bytes of a zip, piece by piece. A file that is gone is left out, and so seen to lack."""
    sink = _Sink()
    with zipfile.ZipFile(sink, "w", zipfile.ZIP_STORED) as archive:  # type: ignore[call-overload]
        for entry in entries:
            try:
                with on_disk(entry.blob) as path:
                    for _step in _written(archive, entry, path):
                        yield from sink.taken()
            except FileNotFoundError:
                continue
    yield from sink.taken()


def _written(archive: zipfile.ZipFile, entry: Entry, path: Path) -> Iterator[None]:
    info = zipfile.ZipInfo(entry.path, _EPOCH)
    info.external_attr = 0o644 << 16
    with path.open("rb") as file, archive.open(info, "w") as out:
        while piece := file.read(STEP):
            out.write(piece)
            yield
    yield
