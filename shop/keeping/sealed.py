"""Back-ups under a passphrase, in the open age format.

The outer file is a plain tar of two members. ``identity.age`` is a key of this one file, an
ordinary age identity, locked by the passphrase; ``backup.tar.age`` is the back-up itself, locked
to that key. Two steps, because only the second can be done bit by bit, however large the file is.
Any program that knows age opens it, with the passphrase:

    tar -xf hiltyard-….age.tar
    age --decrypt -i identity.age backup.tar.age > backup.tar
"""

import os
import tarfile
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, Any

import pyrage

from shop import env
from shop.keeping import archive
from shop.keeping.archive import BLOCK, CHUNK, Archive, Manifest, Refused, damaged, header
from shop.keeping.read_through import read_through

KEY, BODY = "identity.age", "backup.tar.age"
END = bytes(2 * BLOCK)
MOST_KEY = 10_000  # bytes; the key is 500
PASSPHRASE = "BACKUP_PASSPHRASE"  # noqa: S105 (the name of the line in env)


@contextmanager
def sealing(file: IO[bytes], passphrase: str) -> Iterator[IO[bytes]]:
    """What is written into this is written into the file, locked."""
    key = pyrage.x25519.Identity.generate()
    locked = pyrage.passphrase.encrypt(f"{key}\n".encode(), passphrase)
    file.write(header(KEY, len(locked)) + locked + bytes(-len(locked) % BLOCK))
    at = file.tell()
    file.write(bytes(BLOCK))  # its size is known at the end
    with _through(lambda source: _encrypt(source, file, key)) as into:
        yield into
    size = file.tell() - at - BLOCK
    file.write(bytes(-size % BLOCK) + END)
    file.seek(at)
    file.write(header(BODY, size))
    file.seek(0, os.SEEK_END)


def _encrypt(source: IO[bytes], file: IO[bytes], key: Any) -> None:
    try:
        pyrage.encrypt_io(source, file, [key.to_public()])
    except pyrage.EncryptError as error:  # a full disk comes as this
        raise OSError(str(error)) from error


class _Hand:
    """A deed in a thread of its own, and what went wrong in it."""

    def __init__(self, deed: Callable[[IO[bytes]], Any], source: IO[bytes]) -> None:
        self.trouble: BaseException | None = None
        self.thread = threading.Thread(target=self._do, args=(deed, source))
        self.thread.start()

    def _do(self, deed: Callable[[IO[bytes]], Any], source: IO[bytes]) -> None:
        with source:  # closed at its end, so that whoever writes on is not left waiting
            try:
                deed(source)
            except BaseException as error:  # handed to whoever waits for the end
                self.trouble = error


@contextmanager
def _through(deed: Callable[[IO[bytes]], Any]) -> Iterator[IO[bytes]]:
    """A pipe that a deed in another thread reads from."""
    reading, writing = os.pipe()
    hand = _Hand(deed, open(reading, "rb"))  # noqa: SIM115 (the thread closes it)
    into = open(writing, "wb", buffering=CHUNK)  # noqa: SIM115 (closed before the thread ends)
    try:
        yield into
        into.close()
    except BrokenPipeError:
        pass  # the other end says why
    finally:
        with suppress(BrokenPipeError):
            into.close()
        hand.thread.join()
    if hand.trouble:
        raise hand.trouble


def is_sealed(path: Path) -> bool:
    """Whether a file is under a passphrase; one that cannot be read is not."""
    try:
        with path.open("rb") as file:
            return _member(file, path).name == KEY
    except (OSError, Refused):
        return False


def _member(file: IO[bytes], path: Path) -> tarfile.TarInfo:
    try:
        return tarfile.TarInfo.frombuf(file.read(BLOCK), tarfile.ENCODING, "surrogateescape")
    except tarfile.TarError as error:
        raise damaged(path) from error


def _unlock(file: IO[bytes], path: Path, passphrase: str) -> tuple[Any, int]:
    """The key of a file, and how many bytes are locked by it; the file stands before them."""
    if not passphrase:
        raise Refused(f"{path} is under a passphrase: name it in {PASSPHRASE}.", "locked")
    info = _member(file, path)
    if info.name != KEY or info.size > MOST_KEY:
        raise damaged(path)
    locked = file.read(info.size + -info.size % BLOCK)[: info.size]
    try:
        key = pyrage.passphrase.decrypt(locked, passphrase).decode().strip()
        identity = pyrage.x25519.Identity.from_str(key)
    except (pyrage.DecryptError, pyrage.IdentityError, ValueError) as error:
        raise Refused(f"The passphrase does not open {path}.", "other passphrase") from error
    body = _member(file, path)
    whole = file.tell() + body.size + -body.size % BLOCK + len(END)
    if body.name != BODY or os.fstat(file.fileno()).st_size != whole:
        raise damaged(path)
    return identity, body.size


class _Part:
    """So many bytes of a file and no more."""

    def __init__(self, file: IO[bytes], size: int) -> None:
        self.file, self.left = file, size

    def read(self, size: int = -1) -> bytes:
        piece = self.file.read(self.left if size < 0 else min(size, self.left))
        self.left -= len(piece)
        return piece


def _decrypt(file: IO[bytes], path: Path, passphrase: str, into: IO[bytes]) -> None:
    identity, size = _unlock(file, path, passphrase)
    try:
        pyrage.decrypt_io(_Part(file, size), into, [identity])
    except (pyrage.DecryptError, OSError) as error:
        if isinstance(error, OSError) and error.errno:
            raise  # a full disk, not a bad file
        raise damaged(path) from error
    if file.read(-size % BLOCK).strip(b"\0") or file.read() != END:
        raise damaged(path)


@contextmanager
def opened(path: Path, passphrase: str) -> Iterator[Archive]:
    """Open a back-up, under a passphrase or not, once its sums have been found right.

    What was locked lies open meanwhile in a nameless file of the data folder.
    """
    if not is_sealed(path):
        with archive.opened(path) as kept:
            yield kept
        return
    with path.open("rb") as file, tempfile.TemporaryFile(dir=env.data_dir()) as plain:
        _decrypt(file, path, passphrase, plain)
        with archive.opened_file(plain, path) as kept:
            yield kept


def check(path: Path, passphrase: str) -> Manifest:
    """Read a back-up through, under a passphrase or not; nothing is put anywhere."""
    try:
        file = path.open("rb")
    except OSError as error:
        raise Refused(f"{path} cannot be read ({error.strerror}).", "unreadable") from error
    with file:
        if not is_sealed(path):
            return read_through(file, path)
        return _check_sealed(file, path, passphrase)


def _check_sealed(file: IO[bytes], path: Path, passphrase: str) -> Manifest:
    found: list[Manifest] = []
    with _through(lambda source: found.append(read_through(source, path))) as into:
        _decrypt(file, path, passphrase, into)
    return found[0]
