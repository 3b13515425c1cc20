"""The back-up file: a tar that any machine can open, and the sums that prove it whole.

Members in order: rows, media, keys, env, the manifest (size and SHA-256 of each of them), and last
the SHA-256 of every byte before it, in a block whose form is known to the bit: no bit of the file
can turn unnoticed. The tar itself is not compressed, because photos do not shrink. Rows are, each
table by gzip: to an eighth of their size at 60 MB/s; what xz would save beyond that, at a
thirtieth of the speed, is nothing beside the photos. Knows nothing of databases.
"""

import fcntl
import hashlib
import json
import os
import re
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, field
from io import BytesIO, RawIOBase
from pathlib import Path
from typing import IO, Any

from shop import folder

FORMAT = 1
MANIFEST, SUM = "manifest.json", "SHA256"
PART = ".part"  # how the name of a file ends that is not whole
BLOCK, CHUNK = 512, 1024 * 1024
LARGEST_PLAIN = 8**11 - 1  # bytes; the header of a larger member is written in the way of GNU tar
TRAILER = 4 * BLOCK  # header and content of the last member, and the two empty blocks of the end
_NAME = re.compile(
    r"rows/[a-z0-9_]+\.jsonl\.gz"
    r"|media/originals/[0-9a-f]{2}/[0-9a-f]{64}"
    r"|media/renditions/[0-9a-f]{2}/[0-9a-f]{64}-[0-9]{1,5}\.webp"
    rf"|keys/[a-z_]+|env|{re.escape(MANIFEST)}|{SUM}"
)


class Refused(Exception):
    """Why nothing was backed up or restored, in one sentence for whoever sits at the machine.

    :param trouble: its name in ``troubles``, which says it to whoever reads a page.
    """

    def __init__(self, sentence: str, trouble: str = "") -> None:
        super().__init__(sentence)
        self.trouble = trouble


@dataclass
class Manifest:
    """What the file says of itself."""

    made_at: str
    migrations: dict[str, list[str]]
    tables: dict[str, dict[str, int]]  # rows, and the last id that was ever given out
    members: dict[str, dict[str, Any]] = field(default_factory=dict)  # size, sha256
    to_render: list[str] = field(default_factory=list)  # originals whose pictures were not whole
    missing: list[str] = field(default_factory=list)
    damaged: list[str] = field(default_factory=list)
    format: int = FORMAT


class Writer:
    """Writes one member after another and sums up as it goes."""

    def __init__(self, file: IO[bytes]) -> None:
        self.file, self.sum = file, hashlib.sha256()
        self.members: dict[str, dict[str, Any]] = {}

    def add(self, name: str, source: IO[bytes], size: int) -> str:
        """Copy so many bytes into a member; their SHA-256."""
        self._write(header(name, size))
        digest, left = hashlib.sha256(), size
        while left:
            chunk = source.read(min(left, CHUNK))
            if not chunk:
                raise OSError(f"{name} ended while it was being read")
            digest.update(chunk)
            self._write(chunk)
            left -= len(chunk)
        self._write(bytes(-size % BLOCK))
        self.members[name] = {"size": size, "sha256": digest.hexdigest()}
        return digest.hexdigest()

    def add_bytes(self, name: str, content: bytes) -> str:
        """The same for what is in memory."""
        return self.add(name, BytesIO(content), len(content))

    def finish(self, manifest: Manifest) -> None:
        """Write what proves the rest."""
        manifest.members = dict(self.members)
        self.add_bytes(MANIFEST, json.dumps(asdict(manifest), indent=1).encode())
        self.file.write(_trailer(self.sum.hexdigest()))

    def _write(self, content: bytes) -> None:
        self.sum.update(content)
        self.file.write(content)


def header(name: str, size: int) -> bytes:
    """What stands before a member's bytes."""
    member = tarfile.TarInfo(name)
    member.size, member.mode = size, 0o600
    if size > LARGEST_PLAIN:
        return member.tobuf(tarfile.GNU_FORMAT)
    return member.tobuf(tarfile.USTAR_FORMAT)


def _trailer(digest: str) -> bytes:
    content = f"{digest}\n".encode()
    return header(SUM, len(content)) + content.ljust(3 * BLOCK, b"\0")


@contextmanager
def being_written(target: Path) -> Iterator[IO[bytes]]:
    """A file that gets its name, durably, once it is whole; never over another file."""
    with tempfile.NamedTemporaryFile(  # for its owner's eyes alone from its first byte on
        dir=target.parent, prefix=f".{target.name}.", suffix=PART, delete=False
    ) as file:
        try:
            with suppress(OSError):  # a disk of another machine may know no locks
                fcntl.flock(file, fcntl.LOCK_EX)  # as long as its writer lives
            yield file
            file.flush()
            os.fsync(file.fileno())
            if target.exists():
                raise FileExistsError(17, "File exists", str(target))
            os.replace(file.name, target)
        except BaseException:
            os.unlink(file.name)
            raise
    folder.sync(target.parent)


class Archive:
    """A file that has proved whole. Each member is held against the manifest when it is read."""

    def __init__(self, file: IO[bytes], path: Path) -> None:
        self.file, self.path = file, path
        with tarfile.open(fileobj=file, mode="r:") as tar:
            members = tar.getmembers()
        self.found = {member.name: member for member in members}
        if any(not is_ours(member) for member in members) or len(members) != len(self.found):
            raise Refused(
                f"{path} holds what no back-up of this shop holds: use another.", "foreign"
            )
        self.manifest = self._manifest()

    def read(self, name: str) -> bytes:
        """A member's bytes."""
        content = self._bytes(name)
        told = self.manifest.members[name]
        if told != {"size": len(content), "sha256": hashlib.sha256(content).hexdigest()}:
            raise damaged(self.path)
        return content

    def member(self, name: str) -> "Member":
        """A member to be read bit by bit, however large it is."""
        info, told = self.found[name], self.manifest.members[name]
        if told["size"] != info.size:
            raise damaged(self.path)
        self.file.seek(info.offset_data)
        return Member(self.file, info.size, told["sha256"], self.path)

    def names(self, under: str) -> list[str]:
        """The members below a folder of the tar."""
        return [name for name in self.found if name.startswith(f"{under}/")]

    def _bytes(self, name: str) -> bytes:
        member = self.found[name]
        self.file.seek(member.offset_data)
        return self.file.read(member.size)

    def _manifest(self) -> Manifest:
        told = json.loads(self._bytes(MANIFEST))
        if told["format"] > FORMAT:
            raise Refused(
                f"{self.path} was made by a newer Hiltyard: bring this one up to date first.",
                "newer",
            )
        if set(told["members"]) != set(self.found) - {MANIFEST, SUM}:
            raise damaged(self.path)
        return Manifest(**told)


class Member(RawIOBase):
    """The bytes of one member; its end is reached only where its sum is right."""

    def __init__(self, file: IO[bytes], size: int, sha256: str, path: Path) -> None:
        self.file, self.size, self.left = file, size, size
        self.sha256, self.path, self.sum = sha256, path, hashlib.sha256()

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        """Fill a buffer; ``Refused`` instead of the end where the bytes are not those told of."""
        piece = self.file.read(min(len(buffer), self.left))
        self.sum.update(piece)
        self.left -= len(piece)
        buffer[: len(piece)] = piece
        if not piece and (self.left or self.sum.hexdigest() != self.sha256):
            raise damaged(self.path)
        return len(piece)


def is_ours(member: tarfile.TarInfo) -> bool:
    """Whether it is a member that back-ups have."""
    # No link, no folder, no device, and no name that could lead out of the place.
    plain = member.type == tarfile.REGTYPE and not member.pax_headers
    return plain and bool(_NAME.fullmatch(member.name))


@contextmanager
def opened(path: Path) -> Iterator[Archive]:
    """Open a back-up once its sum has been found right; ``Refused`` otherwise."""
    try:
        file = path.open("rb")
    except OSError as error:
        raise Refused(f"{path} cannot be read ({error.strerror}).", "unreadable") from error
    with file, opened_file(file, path) as archive:
        yield archive


@contextmanager
def opened_file(file: IO[bytes], path: Path) -> Iterator[Archive]:
    """The same of a file that is open already.

    :param path: what it is called in what is said of it.
    """
    file.seek(0)
    _check_sum(file, path)
    file.seek(0)
    yield _understood(file, path)


def _understood(file: IO[bytes], path: Path) -> Archive:
    try:
        return Archive(file, path)
    except (tarfile.TarError, LookupError, TypeError, ValueError) as error:
        raise damaged(path) from error


def _check_sum(file: IO[bytes], path: Path) -> None:
    left = os.fstat(file.fileno()).st_size - TRAILER
    if left <= 0:
        raise damaged(path)
    digest = hashlib.sha256()
    while left:
        chunk = file.read(min(left, CHUNK))
        if not chunk:
            raise damaged(path)
        digest.update(chunk)
        left -= len(chunk)
    if file.read() != _trailer(digest.hexdigest()):
        raise damaged(path)


def damaged(path: Path) -> Refused:
    """Why a file is of no use."""
    return Refused(
        f"{path} is damaged or was cut off, as its checksums show: use another back-up.", "damaged"
    )
