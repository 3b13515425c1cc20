"""Keeps files: the bytes first, durably; then the row that says so."""

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta
from typing import IO, Any

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile, UploadedFile
from django.db import IntegrityError, transaction
from django.db.models import Exists, OuterRef, ProtectedError

from shop.files import names, pictures
from shop.files.models import Blob, Rendition
from shop.files.refusals import (
    Bomb,
    Broken,
    DiskFull,
    Empty,
    LargerFilm,
    LargerThan,
    NoStore,
    NotAFilm,
    NotAPicture,
    Refused,
    TooLarge,
    TooManyPixels,
)
from shop.files.staging import Staged, staged, written
from shop.files.storage import StoreAway
from shop.web.wake import wake

__all__ = [
    "Bomb", "Broken", "DiskFull", "Empty", "LargerFilm", "LargerThan", "NoStore", "NotAFilm",
    "NotAPicture", "Refused", "TooLarge", "TooManyPixels",
    "keep", "keep_document", "keep_file", "keep_staged", "keep_written", "let_go",
    "render_anew", "sweep_orphans",
]  # fmt: skip

MAX_BYTES = 50 * 1024 * 1024
ORPHAN_AGE = timedelta(days=1)
LOOK_BACK = timedelta(days=30)  # each day anew, so that the oldest rows are not all read


def keep(upload: "UploadedFile[Any]", now: datetime) -> Blob:
    """Keep an uploaded photo byte for byte; the same bytes are the same blob.

    Raises a ``Refused`` with its sentence. Not to be called inside a transaction: a disk that is
    slow must not hold up every other writer.
    """
    with staged(upload, MAX_BYTES) as came:
        seen = pictures.check(came.path)
        _store(came)
    # Not within a caller's transaction: Django refuses a durable block inside another.
    with transaction.atomic(durable=True):
        blob = _row(
            came,
            now,
            media_type=seen.media_type,
            width=seen.width,
            height=seen.height,
        )
        if blob.rendered_at is None and not blob.problem:
            wake("shop.files.tasks.render", blob.id)
    return blob


def keep_document(content: bytes, media_type: str, now: datetime) -> Blob:
    """Keep a document that we made ourselves; no picture is made from it.

    Not to be called inside a transaction, as ``keep``.
    """
    with staged(SimpleUploadedFile("document", content, media_type), MAX_BYTES) as came:
        return keep_staged(came, media_type, now)


def keep_file(upload: "UploadedFile[Any]", media_type: str, now: datetime, *, at_most: int) -> Blob:
    """Keep an uploaded file byte for byte, whatever it is; nothing is made from it.

    Raises a ``Refused`` with its sentence. Not to be called inside a transaction, as ``keep``.
    """
    try:
        with staged(upload, at_most) as came:
            return keep_staged(came, media_type, now)
    except TooLarge as error:
        raise LargerThan(at_most) from error


def keep_written(write: Callable[[IO[bytes]], object], media_type: str, now: datetime) -> Blob:
    """Keep what a function writes to the file that it is handed.

    Not to be called inside a transaction, as ``keep``.
    """
    with written(write) as came:
        return keep_staged(came, media_type, now)


def keep_staged(came: Staged, media_type: str, now: datetime) -> Blob:
    """Keep what lies in the folder for incoming files already; nothing is made from it."""
    _store(came)
    with transaction.atomic(durable=True):
        return _row(came, now, media_type=media_type, rendered_at=now)


def _row(came: Staged, now: datetime, **known: object) -> Blob:
    # A row that was there is young again: the sweep, which forgets rows that nothing refers to,
    # is not to take it before the deed that this file is for has been done.
    blob, made = Blob.objects.get_or_create(
        sha256=came.sha256, defaults={"size": came.size, "kept_at": now, **known}
    )
    if not made:
        blob.kept_at = now
        blob.save(update_fields=["kept_at"])
    return blob


def let_go(blob_id: int) -> bool:
    """Forget a document that nothing refers to any more; False where something still does.

    Its file goes with the next sweep of orphans, so that one kept anew meanwhile is not harmed.
    """
    try:
        with transaction.atomic():
            Blob.objects.filter(pk=blob_id).delete()
    except (ProtectedError, IntegrityError):  # the second where it was taken up just now
        return False
    return True


def _store(came: Staged) -> None:
    # Written even where the name exists: a file that was damaged is healed, and one that the
    # sweep of orphans has its eye on is young again.
    try:
        with came.path.open("rb") as file:
            default_storage.save(names.original(came.sha256), File(file, name=str(came.path)))
    except StoreAway as error:
        raise NoStore from error


def render_anew(sha256s: list[str], using: str) -> None:
    """Let the worker's next sweep make the pictures of some originals again."""
    Rendition.objects.using(using).filter(blob__sha256__in=sha256s).delete()
    blobs = Blob.objects.using(using).filter(sha256__in=sha256s)
    blobs.update(rendered_at=None, tries=0, problem="")


def sweep_orphans(now: datetime) -> int:
    """Delete originals that no row knows and that are older than a day; say how many.

    They are what an upload leaves whose row was never written, or that was cut off while it was
    copied, and what the erasure of a person leaves: their rows are gone, and with the originals
    go the pictures made from them. A row that nothing refers to is what is left where the plug
    was pulled before the deed that the file was for.
    """
    than = now - ORPHAN_AGE
    _forget_what_is_nobodys(now)
    gone: int = default_storage.discard_unfinished(than)  # type: ignore[attr-defined]
    for folder in _folders(names.ORIGINALS):
        _, files = default_storage.listdir(f"{names.ORIGINALS}/{folder}")
        known = set(Blob.objects.filter(sha256__in=files).values_list("sha256", flat=True))
        gone += sum(_discard(sha256, than) for sha256 in set(files) - known)
    _heal(than)
    return gone + _sweep_pictures()


def _forget_what_is_nobodys(now: datetime) -> None:
    loose = Blob.objects.filter(kept_at__gt=now - LOOK_BACK, kept_at__lt=now - ORPHAN_AGE)
    for link in Blob._meta.get_fields(include_hidden=True):
        if link.one_to_many and link.related_model is not Rendition:
            rows = link.related_model._base_manager  # type: ignore[union-attr]
            loose = loose.exclude(Exists(rows.filter(**{link.field.name: OuterRef("pk")})))  # type: ignore[union-attr]
    for blob_id in list(loose.values_list("pk", flat=True)):
        with suppress(IntegrityError), transaction.atomic():
            # Asked anew: a row that was kept once more meanwhile is young, and stays.
            for blob in loose.select_for_update().filter(pk=blob_id):
                blob.delete()


def _sweep_pictures() -> int:
    """Delete pictures whose original no row knows; how many. They can be made anew at any time."""
    gone = 0
    for folder in _folders(names.RENDITIONS):
        files = default_storage.listdir(f"{names.RENDITIONS}/{folder}")[1]
        wanted = {file.partition("-")[0] for file in files}
        known = set(Blob.objects.filter(sha256__in=wanted).values_list("sha256", flat=True))
        for file in files:
            if file.partition("-")[0] not in known:
                default_storage.delete(f"{names.RENDITIONS}/{folder}/{file}")
                gone += 1
    return gone


def _folders(top: str) -> list[str]:
    try:
        return default_storage.listdir(top)[0]
    except FileNotFoundError:  # none was ever kept
        return []


def _discard(sha256: str, than: datetime) -> bool:
    name = names.original(sha256)
    if default_storage.get_modified_time(name) >= than:
        return False
    return bool(default_storage.discard_older(name, than))  # type: ignore[attr-defined]


def _heal(than: datetime) -> None:
    """Put back what an object store lost to the sweep in the moment that it was kept anew.

    A file of our own disk is judged after it was moved aside; there nothing is put aside for long.
    """
    aside = getattr(default_storage, "aside", None)
    for sha256 in aside() if aside else ():
        if Blob.objects.filter(sha256=sha256).exists():
            default_storage.put_back(names.original(sha256))  # type: ignore[attr-defined]
        else:
            default_storage.forget(sha256, than)  # type: ignore[attr-defined]
