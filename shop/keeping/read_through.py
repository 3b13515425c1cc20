"""Reads a back-up from its first byte to its last, without putting anything anywhere.

It goes through the file once and never back, so that it can read what is being decrypted.
"""

import hashlib
import json
import tarfile
import zlib
from pathlib import Path
from typing import IO, Any

from shop.keeping.archive import (
    BLOCK,
    CHUNK,
    MANIFEST,
    SUM,
    TRAILER,
    Manifest,
    Refused,
    damaged,
    header,
    is_ours,
)

_GZIP = 16 + zlib.MAX_WBITS


class _Passing:
    """What passes by: summed up as a whole, and member by member."""

    def __init__(self, source: IO[bytes], path: Path) -> None:
        self.source, self.path, self.sum = source, path, hashlib.sha256()
        self.members: dict[str, dict[str, Any]] = {}
        self.lines: dict[str, int] = {}
        self.manifest = b""

    def header(self) -> bytes:
        """The next block."""
        return self.exactly(BLOCK)

    def exactly(self, size: int) -> bytes:
        got = b""
        while len(got) < size:
            piece = self.source.read(size - len(got))
            if not piece:
                raise damaged(self.path)
            got += piece
        return got

    def member(self, info: tarfile.TarInfo) -> None:
        digest, left = hashlib.sha256(), info.size
        lines = _Lines() if info.name.startswith("rows/") else None
        while left:
            piece = self.exactly(min(left, CHUNK))
            left -= len(piece)
            digest.update(piece)
            self.sum.update(piece)
            if lines:
                lines.feed(piece)
            if info.name == MANIFEST:
                self.manifest += piece
        self.sum.update(self.exactly(-info.size % BLOCK))
        self.members[info.name] = {"size": info.size, "sha256": digest.hexdigest()}
        if lines:
            self.lines[info.name] = lines.count


class _Lines:
    """Counts the lines of what is packed by gzip."""

    def __init__(self) -> None:
        self.unpack, self.count = zlib.decompressobj(_GZIP), 0

    def feed(self, piece: bytes) -> None:
        self.count += self.unpack.decompress(piece).count(b"\n")


def read_through(source: IO[bytes], path: Path) -> Manifest:
    """Read all of a back-up, hold every sum against what is told, count every row.

    :raises Refused: where one bit is not as it was written.
    """
    passing = _Passing(source, path)
    try:
        while True:
            block = passing.header()
            info = tarfile.TarInfo.frombuf(block, tarfile.ENCODING, "surrogateescape")
            if not is_ours(info):
                raise Refused(
                    f"{path} holds what no back-up of this shop holds: use another.", "foreign"
                )
            if info.name == SUM:
                return _ended(passing, block)
            passing.sum.update(block)
            passing.member(info)
    except (tarfile.TarError, zlib.error, LookupError, TypeError, ValueError) as error:
        raise damaged(path) from error


def _ended(passing: _Passing, block: bytes) -> Manifest:
    rest = block + passing.exactly(TRAILER - BLOCK)
    digest = f"{passing.sum.hexdigest()}\n".encode()
    if rest != header(SUM, len(digest)) + digest.ljust(3 * BLOCK, b"\0"):
        raise damaged(passing.path)
    if passing.source.read(1):
        raise damaged(passing.path)
    manifest = Manifest(**json.loads(passing.manifest))
    told = passing.members
    told.pop(MANIFEST)
    if manifest.members != told or any(
        passing.lines[f"rows/{table}.jsonl.gz"] != told["rows"] + 1
        for table, told in manifest.tables.items()
    ):
        raise damaged(passing.path)
    return manifest
