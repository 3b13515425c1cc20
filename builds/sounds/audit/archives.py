"""What a zip archive holds, looked at before any of it is unpacked; and unpacking by bounds.

A zip is trusted in nothing: neither its sizes nor its names.
"""

import stat
import struct
import unicodedata
import zipfile
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import IO, Any

MB = 1_000_000
MOST_FILES = 2_000
MOST_BYTES = 1_000 * MB  # of all files, unpacked
MOST_OF_ONE = 100 * MB
LONGEST_PATH, DEEPEST = 240, 8
MOST_OF_LIST = 2 * MB  # of the archive's own list of files
STEP = 256 * 1024
_END = b"PK\x05\x06"
_END_SIZE, _MOST_COMMENT = 22, 65_535
_WHAT_BREAKS = (
    zipfile.BadZipFile, zlib.error, EOFError, struct.error, NotImplementedError, RuntimeError,
    ValueError, OverflowError, OSError, LookupError,
)  # fmt: skip
_LEFT_BY_OTHERS = {".ds_store", "thumbs.db", "desktop.ini", ".directory"}
_FORBIDDEN = frozenset('<>:"|?*')


class ArchiveRefused(ValueError):
    """An archive that is not taken; the code says why, figures beside it."""

    def __init__(self, code: str, **figures: Any) -> None:
        super().__init__(code)
        self.code, self.figures = code, figures


@dataclass(frozen=True)
class Member:
    """A file in an archive, by the name that it is kept under."""

    path: str
    size: int
    index: int


def members(file: IO[bytes]) -> list[Member]:
    """The files of a zip, in its own order, without what systems leave in folders by themselves.

    :raises ArchiveRefused: it is none, or one that is not taken.
    """
    _check_list(file)
    try:
        with zipfile.ZipFile(file) as archive:
            held = archive.infolist()
    except _WHAT_BREAKS as error:
        raise ArchiveRefused("broken") from error
    found = [_member(info, index) for index, info in enumerate(held) if not _is_folder(info)]
    kept = [member for member in found if not is_litter(member.path)]
    check_many({member.path: member.size for member in kept}, [member.path for member in kept])
    return kept


def check_many(sizes: Mapping[str, int], paths: Iterable[str]) -> None:
    """Refuse more files, larger ones or other names than a set may have.

    :raises ArchiveRefused: it has.
    """
    seen: dict[str, str] = {}
    for count, path in enumerate(paths, start=1):
        if count > MOST_FILES:
            raise ArchiveRefused("many-files", most=MOST_FILES)
        if (twin := seen.get(path.casefold())) is not None:
            raise ArchiveRefused("twins", path=path, twin=twin)
        seen[path.casefold()] = path
        if sizes[path] > MOST_OF_ONE:
            raise ArchiveRefused("large-file", path=path, most=MOST_OF_ONE // MB)
    if not seen:
        raise ArchiveRefused("no-files")
    if sum(sizes.values()) > MOST_BYTES:
        raise ArchiveRefused("bomb", most=MOST_BYTES // MB)


def checked_path(name: str) -> str:
    """A name as it is kept.

    :raises ArchiveRefused: it leads out of the set, or is none that a card could hold.
    """
    shown = "".join(sign if sign.isprintable() else "�" for sign in name)[:80]
    if "\\" in name or name.startswith("/") or name[1:2] == ":":
        raise ArchiveRefused("path", path=shown)
    parts = unicodedata.normalize("NFC", name).split("/")
    if any(part in ("", ".", "..") for part in parts) or len(parts) > DEEPEST:
        raise ArchiveRefused("path", path=shown)
    if not name.isprintable() or set(name) & _FORBIDDEN:
        raise ArchiveRefused("name", path=shown)
    if len(name) > LONGEST_PATH:
        raise ArchiveRefused("long-path", path=shown, most=LONGEST_PATH)
    return "/".join(parts)


def is_litter(path: str) -> bool:
    """Whether a system left it there by itself: no sound, and nobody's."""
    parts = PurePosixPath(path).parts
    name = parts[-1].lower()
    return "__MACOSX" in parts or name in _LEFT_BY_OTHERS or name.startswith("._")


def unpack(file: IO[bytes], member: Member, out: IO[bytes]) -> None:
    """Write one file of an archive out, to no more bytes than its list says.

    :raises ArchiveRefused: it is damaged, or longer than it says.
    """
    try:
        with zipfile.ZipFile(file) as archive:
            info = archive.infolist()[member.index]
            with archive.open(info) as content:
                _copy(content, out, member)
    except _WHAT_BREAKS as error:
        if isinstance(error, ArchiveRefused):
            raise
        raise ArchiveRefused("damaged") from error


def _copy(content: IO[bytes], out: IO[bytes], member: Member) -> None:
    size = 0
    while piece := content.read(STEP):
        size += len(piece)
        if size > member.size:
            raise ArchiveRefused("longer")
        out.write(piece)


def _check_list(file: IO[bytes]) -> None:
    """Look at the end of the archive alone: a list of millions would fill the memory."""
    size = file.seek(0, 2)
    file.seek(max(0, size - _END_SIZE - _MOST_COMMENT))
    tail = file.read()
    file.seek(0)
    at = tail.rfind(_END)
    if at < 0 or len(tail) - at < _END_SIZE:
        is_zip = file.read(4) == b"PK\x03\x04"
        raise ArchiveRefused("broken" if is_zip else "no-zip")
    disk, _first, _here, _count, listed, begins = struct.unpack_from("<HHHHII", tail, at + 4)
    if disk or 0xFFFFFFFF in (listed, begins) or tail[max(0, at - 20) :][:4] == b"PK\x06\x07":
        raise ArchiveRefused("split")
    if listed > MOST_OF_LIST:
        raise ArchiveRefused("many-files", most=MOST_FILES)
    file.seek(0)


def _is_folder(info: zipfile.ZipInfo) -> bool:
    return info.filename.endswith("/") and not info.file_size


def _member(info: zipfile.ZipInfo, index: int) -> Member:
    if "\0" in info.orig_filename:
        raise ArchiveRefused("name", path=info.filename[:80])
    path = checked_path(info.orig_filename)
    if stat.S_ISLNK(info.external_attr >> 16):
        raise ArchiveRefused("link", path=path)
    if info.flag_bits & 0x1:
        raise ArchiveRefused("locked")
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise ArchiveRefused("method")
    return Member(path, info.file_size, index)
