"""Takes a large file in, piece by piece: what was acknowledged is on the disk, synced.

The row says how far it is. The file may be longer, where the plug was pulled between the two: the
next piece is written over that. One piece at a time of one file, by a lock on the file itself, so
that no database waits for a disk.
"""

import fcntl
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime, timedelta
from hashlib import file_digest
from typing import Any, BinaryIO, cast
from uuid import UUID, uuid4

from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError, transaction
from django.db.models import F, Q, QuerySet, Sum

from shop.clock import ago
from shop.files.actions import keep_file, keep_staged
from shop.files.containers import HEAD_OF_FILM, film_type
from shop.files.models import Blob, Upload
from shop.files.piece_disk import folder, incoming, is_stray, path_of, write
from shop.files.refusals import (
    AnotherOffset,
    LargerFilm,
    NoRoom,
    NotAFilm,
    NotWhole,
    Refused,
    UploadEnded,
)
from shop.files.staging import Staged, room_said

MOST_OF_PIECE = 8 * 1024 * 1024  # what is held in memory at once
LEFT_FREE = 200_000_000  # of the disk: photos and the database need room too
GIVEN_UP_AFTER = timedelta(days=7)
MB = 1_000_000


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

    It goes by the token that is asked for, unless another file, or one that ended, went by it: a
    page has one token, and whoever reads it may choose several files in turn.

    :raises Refused: it is too large, or the disk has no room for it.
    """
    if size > most_mb * MB:
        raise LargerFilm(most_mb)
    same = Upload.objects.filter(about=about, name=name[:200], size=size, mark=mark)
    if known := _begun(same, token):
        return known
    _check_room(size)
    made = Upload(
        about=about, name=name[:200], size=size, mark=mark, begun_at=now, begun_by=by, last_at=now
    )
    try:
        return _as_new(made, token)
    except IntegrityError:  # the token is taken: by the same at the same moment, or by another
        return _begun(same, token) or _as_new(made, uuid4())


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
        write(file, offset, piece)
        upload.received, upload.last_at = offset + len(piece), now
        upload.save(update_fields=["received", "last_at", "media_type"])
        return upload.received


def finish_upload(token: UUID, now: datetime) -> Blob:
    """Keep the whole file under its SHA-256; finished already, the same again.

    Its pieces stay until the row says that it is kept, so that no moment loses them. Not to be
    called inside a transaction.

    :raises Refused: it did not come whole, is no film, or has ended.
    """
    if known := _blob_of(token):
        return known
    try:
        with _held(token) as (upload, file):
            blob = _finished(upload, file, now)
    except UploadEnded:
        if known := _blob_of(token):  # somebody else kept it while this waited for the file
            return known
        raise
    path_of(token).unlink(missing_ok=True)
    return blob


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
    with room_said():
        return keep_file(came, kind, now, at_most=most_mb * MB)


def give_up(token: UUID, now: datetime) -> None:
    """End an upload and let go of what came of it; one that has ended stays so.

    Waits for whoever writes or keeps it. Not to be called inside a transaction.
    """
    with suppress(UploadEnded), _held(token) as (upload, _file):
        _end(upload, now)


def sweep_pieces(now: datetime) -> int:
    """Give up what nobody went on with, and delete pieces that no open row knows; how many."""
    old = Upload.objects.filter(ago("last_at", GIVEN_UP_AFTER, now), ended_at=None)
    given_up = list(old.values_list("token", flat=True))
    for token in given_up:
        give_up(token, now)
    kept = set(Upload.objects.filter(ended_at=None).values_list("token", flat=True))
    # Young ones are let be: their row may be on its way.
    than = now - timedelta(hours=1)
    strays = [path for path in folder().iterdir() if is_stray(path, kept, than)]
    for path in strays:
        path.unlink(missing_ok=True)
    return len(given_up) + len(strays)


def _begun(same: QuerySet[Upload], token: UUID) -> Upload | None:
    # By the mark as well: two films of one name and size must not be mixed.
    asked_for = Q(ended_at=None) | Q(blob__isnull=False)
    found = (
        same.filter(asked_for, token=token).first()
        or same.filter(ended_at=None).order_by("-last_at").first()
    )
    if found is None or found.ended_at or not found.received:
        return found
    if not path_of(found.token).exists():  # restored without its pieces
        found.received = 0
        found.save(update_fields=["received"])
    return found


@transaction.atomic
def _as_new(made: Upload, token: UUID) -> Upload:
    made.token = token
    made.save(force_insert=True)
    return made


def _blob_of(token: UUID) -> Blob | None:
    upload = Upload.objects.filter(token=token, blob__isnull=False).select_related("blob").first()
    return upload.blob if upload else None


def _finished(upload: Upload, file: BinaryIO, now: datetime) -> Blob:
    if upload.received != upload.size:
        raise NotWhole
    file.truncate(upload.size)
    file.seek(0)
    upload.media_type = film_type(file.read(HEAD_OF_FILM))
    if not upload.media_type:
        _end(upload, now)
        raise NotAFilm
    blob = _kept(upload, file, now)
    upload.blob, upload.ended_at = blob, now
    upload.save(update_fields=["blob", "ended_at", "media_type"])
    return blob


def _check_room(size: int) -> None:
    promised = Upload.objects.filter(ended_at=None).aggregate(n=Sum(F("size") - F("received")))["n"]
    free = shutil.disk_usage(folder()).free - LEFT_FREE - (promised or 0)
    if free < size:
        raise NoRoom(max(0, free), size)


@contextmanager
def _held(token: UUID) -> Iterator[tuple[Upload, BinaryIO]]:
    """An upload that is open and its file, which nobody else writes meanwhile."""
    if not Upload.objects.filter(token=token, ended_at=None).exists():
        raise UploadEnded
    with os.fdopen(os.open(path_of(token), os.O_RDWR | os.O_CREAT, 0o600), "r+b") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        upload = Upload.objects.filter(token=token, ended_at=None).first()  # as it is by now
        if upload is None:
            path_of(token).unlink(missing_ok=True)  # made anew by this, or to be gone anyway
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
    path_of(upload.token).unlink(missing_ok=True)


def _kept(upload: Upload, file: BinaryIO, now: datetime) -> Blob:
    file.seek(0)
    digest = file_digest(cast(Any, file), "sha256").hexdigest()
    path = path_of(upload.token)
    aside = incoming() / f"whole-{upload.token}"
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
    with room_said():
        return keep_staged(whole, media_type, now)


__all__ = [
    "MOST_OF_PIECE", "AnotherOffset", "Refused", "begin_upload", "finish_upload", "give_up",
    "keep_whole", "sweep_pieces", "take_piece",
]  # fmt: skip
