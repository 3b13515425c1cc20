"""The functions by which pages and worker read what people send: bytes in, or a refusal."""

from io import BytesIO
from pathlib import Path

from builds.importing.sheets import NotReadable, look, read
from builds.sounds.audit.archives import ArchiveRefused, members, unpack
from builds.sounds.audit.findings import of_file
from builds.sounds.audit.heard import listen
from builds.sounds.audit.samples import NotRead
from builds.sounds.audit.wave import NotWave
from shop.files import containers, pictures, renditions
from shop.files.refusals import Refused

# Each of them has a sentence on a page.
REFUSALS = (Refused, NotReadable, ArchiveRefused, NotRead, NotWave)


def picture(content: bytes, path: Path) -> None:
    """The page's look at it, and the worker's smaller pictures."""
    containers.film_type(content[: containers.HEAD_OF_FILM])
    pictures.check(path)
    with path.open("rb") as file:
        renditions.make(file)


def sound(_content: bytes, path: Path) -> None:
    """The worker's ear, and what it finds."""
    list(of_file("hum.wav", listen(path)))


def archive(content: bytes, _path: Path) -> None:
    """The list of an archive, and each file out of it."""
    for member in members(BytesIO(content)):
        unpack(BytesIO(content), member, BytesIO())


def sheet(content: bytes, _path: Path) -> None:
    """The first look at a sheet, and all of its rows."""
    read(content, look(content).reading)
