"""Takes a large file in, piece by piece: what was acknowledged is on the disk, synced.

The row says how far it is. The file may be longer, where the plug was pulled between the two: the
next piece is written over that. One piece at a time of one file, by a lock on the file itself, so
that no database waits for a disk.
"""

import errno
import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from hashlib import file_digest
from pathlib import Path
from typing import Any, BinaryIO, cast
from uuid import UUID

from django.core.files.storage import default_storage
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.db.models import F, Sum

from shop.files.actions import keep_file, keep_staged
from shop.files.containers import HEAD_OF_FILM, film_type
from shop.files.models import Blob, Upload
from shop.files.refusals import (
    AnotherOffset,
    DiskFull,
    LargerFilm,
    NoRoom,
    NotAFilm,
    NotWhole,
    Refused,
    UploadEnded,
)
from shop.files.staging import Staged

MOST_OF_PIECE = 8 * 1024 * 1024  # what is held in memory at once
LEFT_FREE = 200_000_000  # of the disk: photos and the database need room too
GIVEN_UP_AFTER = timedelta(days=7)
MB = 1_000_000
_FULL = {errno.ENOSPC, errno.EDQUOT}


@transaction.atomic
def begin_upload(
    about: str,
    name: str,
    size: int,
    *,
    mark: str,
    most_mb: int,
    token: UUID,
    by: Any,
    now: datetime,
) -> Upload:
    """Begin a file, or find the one of the same name, size and mark that broke off.

    :raises Refused: it is too large, or the disk has no room for it.
    """
    if size > most_mb * MB:
        raise LargerFilm(most_mb)
    if known := Upload.objects.filter(token=token).first() or _broken_off(about, name, size, mark):
        return known
    _check_room(size)
    return Upload.objects.create(
        token=token, about=about, name=name[:200], size=size, mark=mark, begun_at=now, begun_by=by,
        last_at=now,
    )  # fmt: skip


def take_piece(token: UUID, offset: int, piece: bytes, now: datetime) -> int:
    """Write a piece behind what is there; how much of the file is on the disk then.

    Not to be called inside a transaction: what is answered must be so.

    :raises AnotherOffset: the file ends elsewhere, which it says.
    :raises Refused: the upload has ended, the disk is full, or the file is no film.
    """
    with _held(token) as (upload, file):
        if offset != upload.received:
            raise AnotherOffset(upload.received)
        if offset + len(piece) > upload.size:
            raise AnotherOffset(upload.received)
        if not upload.media_type:
            _look_at_head(upload, file, offset, piece, now)
        _write(file, offset, piece)
        upload.received, upload.last_at = offset + len(piece), now
        upload.save(update_fields=["received", "last_at", "media_type"])
        return upload.received


def finish_upload(token: UUID, now: datetime) -> Blob:
    """Keep the whole file under its SHA-256; finished already, the same again.

    Its pieces stay until the row says that it is kept, so that no moment loses them. Not to be
    called inside a transaction.

    :raises Refused: it did not come whole, is no film, or has ended.
    """
    known = Upload.objects.filter(token=token, blob__isnull=False).first()
    if known and known.blob:
        return known.blob
    with _held(token) as (upload, file):
        if upload.received != upload.size:
            raise NotWhole
        file.truncate(upload.size)
        file.seek(0)
        upload.media_type = film_type(file.read(HEAD_OF_FILM))
        if not upload.media_type:
            _end(upload, now)
            raise NotAFilm
        upload.blob = _kept(upload, file, now)
        upload.ended_at = now
        upload.save(update_fields=["blob", "ended_at", "media_type"])
    _path(token).unlink(missing_ok=True)
    return upload.blob


def keep_whole(came: "UploadedFile[Any]", most_mb: int, now: datetime) -> Blob:
    """Keep a film that came by a plain form.

    Not to be called inside a transaction.

    :raises Refused: it is too large or no film, or the disk is full.
    """
    if (came.size or 0) > most_mb * MB:
        raise LargerFilm(most_mb)
    kind = film_type(came.read(HEAD_OF_FILM))
    if not kind:
        raise NotAFilm
    came.seek(0)
    with _room_said():
        return keep_file(came, kind, now, at_most=most_mb * MB)


def give_up(token: UUID, now: datetime) -> None:
    """End an upload and let go of what came of it; one that has ended stays so."""
    if Upload.objects.filter(token=token, ended_at=None).update(ended_at=now):
        _path(token).unlink(missing_ok=True)


def sweep_pieces(now: datetime) -> int:
    """Give up what nobody went on with, and delete pieces that no open row knows; how many."""
    old = Upload.objects.filter(ended_at=None, last_at__lt=now - GIVEN_UP_AFTER)
    old.update(ended_at=now)
    kept = {
        str(token) for token in Upload.objects.filter(ended_at=None).values_list("token", flat=True)
    }
    # Young ones are let be: their row may be on its way.
    than = (now - timedelta(hours=1)).timestamp()
    gone = [path for path in _folder().iterdir() if path.name not in kept]
    gone = [path for path in gone if path.stat().st_mtime < than]
    for path in gone:
        path.unlink(missing_ok=True)
    return len(gone)


def _broken_off(about: str, name: str, size: int, mark: str) -> Upload | None:
    # By the mark as well: two films of one name and size must not be mixed.
    rows = Upload.objects.filter(about=about, name=name[:200], size=size, mark=mark, ended_at=None)
    found = rows.order_by("-last_at").first()
    if found and found.received and not _path(found.token).exists():  # restored without its pieces
        found.received = 0
        found.save(update_fields=["received"])
    return found


def _check_room(size: int) -> None:
    promised = Upload.objects.filter(ended_at=None).aggregate(n=Sum(F("size") - F("received")))["n"]
    free = shutil.disk_usage(_folder()).free - LEFT_FREE - (promised or 0)
    if free < size:
        raise NoRoom(max(0, free), size)


@contextmanager
def _held(token: UUID) -> Iterator[tuple[Upload, BinaryIO]]:
    """An upload that is open and its file, which nobody else writes meanwhile."""
    if not Upload.objects.filter(token=token, ended_at=None).exists():
        raise UploadEnded
    with os.fdopen(os.open(_path(token), os.O_RDWR | os.O_CREAT, 0o600), "r+b") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        upload = Upload.objects.filter(token=token, ended_at=None).first()  # as it is by now
        if upload is None:
            raise UploadEnded
        upload.received = min(upload.received, os.fstat(file.fileno()).st_size)
        yield upload, file


def _look_at_head(upload: Upload, file: BinaryIO, offset: int, piece: bytes, now: datetime) -> None:
    file.seek(0)
    head = (file.read(min(offset, HEAD_OF_FILM)) + piece)[:HEAD_OF_FILM]
    if len(head) < min(HEAD_OF_FILM, upload.size):
        return
    upload.media_type = film_type(head)
    if not upload.media_type:
        _end(upload, now)
        raise NotAFilm


def _end(upload: Upload, now: datetime) -> None:
    upload.ended_at = now
    upload.save(update_fields=["ended_at"])
    _path(upload.token).unlink(missing_ok=True)


def _write(file: BinaryIO, offset: int, piece: bytes) -> None:
    with _room_said():
        file.seek(offset)
        file.write(piece)
        file.flush()
        os.fsync(file.fileno())
        if offset == 0:  # its name in the folder, too
            _sync_folder()


@contextmanager
def _room_said() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        if error.errno in _FULL:
            raise DiskFull from error
        raise


def _sync_folder() -> None:
    handle = os.open(_folder(), os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _kept(upload: Upload, file: BinaryIO, now: datetime) -> Blob:
    file.seek(0)
    digest = file_digest(cast(Any, file), "sha256").hexdigest()
    path = _path(upload.token)
    aside = _incoming() / f"whole-{upload.token}"
    try:
        aside.unlink(missing_ok=True)
        os.link(path, aside)  # a second name, which becomes that of the original
    except OSError:  # a file system without: copied, at twice the room
        return _stored(Staged(path, upload.size, digest), upload.media_type, now)
    try:
        return _stored(Staged(aside, upload.size, digest), upload.media_type, now)
    finally:
        aside.unlink(missing_ok=True)


def _stored(whole: Staged, media_type: str, now: datetime) -> Blob:
    with _room_said():
        return keep_staged(whole, media_type, now)


def _path(token: UUID) -> Path:
    return _folder() / str(token)


def _folder() -> Path:
    return _named("pieces")


def _incoming() -> Path:
    return _named("incoming")


def _named(folder: str) -> Path:
    # An object storage has no such folder: then the system's own temporary folder does.
    where = getattr(default_storage, folder, None)
    return where() if where else Path(tempfile.gettempdir())


__all__ = [
    "MOST_OF_PIECE", "AnotherOffset", "Refused", "begin_upload", "finish_upload", "give_up",
    "keep_whole", "sweep_pieces", "take_piece",
]  # fmt: skip
