"""Where an export is written: a new folder, or a zip."""

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from shop.keeping import archive
from shop.keeping.archive import Refused

FILE_MODE = 0o600


class Folder:
    """Files in a folder."""

    def __init__(self, path: Path) -> None:
        self.path = path

    @contextmanager
    def open(self, name: str) -> Iterator[IO[bytes]]:
        """A new file to write into."""
        target = self.path / name
        target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with target.open("xb") as file:
            target.chmod(FILE_MODE)
            yield file


class Zip:
    """Files in a zip; photos are not packed, because they do not shrink."""

    def __init__(self, file: zipfile.ZipFile) -> None:
        self.file = file

    @contextmanager
    def open(self, name: str) -> Iterator[IO[bytes]]:
        """A new file to write into."""
        shrinks = name.endswith((".csv", ".json", ".txt", ".html"))
        info = zipfile.ZipInfo(name)
        info.compress_type = zipfile.ZIP_DEFLATED if shrinks else zipfile.ZIP_STORED
        info.external_attr = FILE_MODE << 16
        with self.file.open(info, "w", force_zip64=True) as file:
            yield file


Sink = Folder | Zip


@contextmanager
def sink(target: Path) -> Iterator[Sink]:
    """A zip where the name ends so, else a folder that is new or empty."""
    if target.suffix == ".zip":
        if target.exists():
            raise Refused(f"{target} is there already: name another.")
        with archive.being_written(target) as file, zipfile.ZipFile(file, "w") as zipped:
            yield Zip(zipped)
        return
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise Refused(f"{target} is not empty: name a new folder, or a file that ends in .zip.")
    target.mkdir(mode=0o700, parents=True, exist_ok=True)
    yield Folder(target)
