"""Large files in pieces: what was acknowledged is on the disk, whatever breaks off in between."""

import errno
import hashlib
import os
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from shop.files import pieces
from shop.files.containers import film_type
from shop.files.models import Blob, Upload
from shop.files.refusals import (
    AnotherOffset,
    DiskFull,
    LargerFilm,
    NoRoom,
    NotAFilm,
    NotWhole,
    UploadEnded,
)
from shop.models import User
from tests import films
from tests.makers import at_once

FILM = films.like(size=10_000)
pytestmark = pytest.mark.django_db


def begin(by: User, now: datetime, content: bytes = FILM, **more: Any) -> Upload:
    facts: dict[str, Any] = {"mark": "m", "most_mb": 2048, "token": uuid4()} | more
    return pieces.begin_upload("film:build:1", "clip.mp4", len(content), by=by, now=now, **facts)


def on_disk(upload: Upload, media: Path) -> bytes:
    path = media / "pieces" / str(upload.token)
    return path.read_bytes() if path.exists() else b""


def kept(blob: Blob, media: Path) -> bytes:
    return (media / "originals" / blob.sha256[:2] / blob.sha256).read_bytes()


@pytest.mark.parametrize(
    ("head", "kind"),
    [
        (films.MP4, "video/mp4"),
        (films.MOV, "video/quicktime"),
        (films.WEBM, "video/webm"),
        (films.MKV, "video/x-matroska"),
        (b"\0\0\0\x08moov", "video/quicktime"),
        (b"\0\0\0\x18ftypheic\0\0\0\0", ""),
        (b"\0\0\0\x18ftypM4A \0\0\0\0", ""),
        (b"#EXTM3U\n", ""),
        (b"<html>", ""),
        (b"", ""),
    ],
)
def test_film_is_known_by_its_first_bytes(head: bytes, kind: str) -> None:
    assert film_type(head) == kind


def test_pieces_become_the_file(owner: User, now: datetime, media: Path) -> None:
    upload = begin(owner, now)
    for at in range(0, len(FILM), 3000):
        had = pieces.take_piece(upload.token, at, FILM[at : at + 3000], now)
        assert on_disk(upload, media) == FILM[:had]
    blob = pieces.finish_upload(upload.token, now)
    assert blob.sha256 == hashlib.sha256(FILM).hexdigest()
    assert (blob.size, blob.media_type) == (len(FILM), "video/mp4")
    assert kept(blob, media) == FILM
    assert on_disk(upload, media) == b""
    assert pieces.finish_upload(upload.token, now) == blob


def test_same_piece_twice_is_told_where_the_file_ends(owner: User, now: datetime) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM[:4000], now)
    with pytest.raises(AnotherOffset) as error:
        pieces.take_piece(upload.token, 0, FILM[:4000], now)
    assert error.value.received == 4000


def test_more_than_the_file_is_not_taken(owner: User, now: datetime) -> None:
    upload = begin(owner, now)
    with pytest.raises(AnotherOffset):
        pieces.take_piece(upload.token, 0, FILM + b"more", now)
    assert Upload.objects.get().received == 0


def test_file_of_the_same_name_size_and_mark_goes_on(owner: User, now: datetime) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM[:4000], now)
    again = begin(owner, now)
    assert (again.pk, again.received) == (upload.pk, 4000)


def test_another_film_of_the_same_name_and_size_is_its_own(owner: User, now: datetime) -> None:
    assert begin(owner, now).pk != begin(owner, now, mark="another").pk


def test_what_the_plug_left_behind_the_last_answer_is_written_over(
    owner: User, now: datetime, media: Path
) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM[:4000], now)
    path = media / "pieces" / str(upload.token)
    path.write_bytes(FILM[:4000] + b"x" * 3000)  # written, not acknowledged
    pieces.take_piece(upload.token, 4000, FILM[4000:], now)
    assert kept(pieces.finish_upload(upload.token, now), media) == FILM


def test_restored_without_its_pieces_it_begins_anew(
    owner: User, now: datetime, media: Path
) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM[:4000], now)
    (media / "pieces" / str(upload.token)).unlink()
    assert begin(owner, now).received == 0
    pieces.take_piece(upload.token, 0, FILM, now)
    assert kept(pieces.finish_upload(upload.token, now), media) == FILM


def test_plug_pulled_while_it_is_kept_loses_nothing(
    owner: User, now: datetime, media: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM, now)
    save, broken = Upload.save, [True]

    def pulled(self: Upload, *args: Any, **kwargs: Any) -> None:
        if broken and "blob" in kwargs.get("update_fields", ()):
            broken.clear()
            raise RuntimeError
        save(self, *args, **kwargs)

    monkeypatch.setattr(Upload, "save", pulled)
    with pytest.raises(RuntimeError):
        pieces.finish_upload(upload.token, now)
    assert on_disk(upload, media) == FILM
    assert kept(pieces.finish_upload(upload.token, now), media) == FILM


def test_where_files_have_one_name_alone_it_is_copied(
    owner: User, now: datetime, media: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*args: object) -> None:
        raise OSError(errno.EPERM, "not here")

    monkeypatch.setattr(os, "link", no_links)
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM, now)
    assert kept(pieces.finish_upload(upload.token, now), media) == FILM


def test_half_a_film_is_not_kept(owner: User, now: datetime) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM[:4000], now)
    with pytest.raises(NotWhole):
        pieces.finish_upload(upload.token, now)


def test_what_is_no_film_ends_at_its_first_piece(owner: User, now: datetime, media: Path) -> None:
    page = b"<html>" + bytes(9_994)
    upload = begin(owner, now, page)
    with pytest.raises(NotAFilm):
        pieces.take_piece(upload.token, 0, page[:4000], now)
    assert on_disk(upload, media) == b""
    with pytest.raises(UploadEnded):
        pieces.take_piece(upload.token, 0, page[:4000], now)


def test_a_first_piece_too_short_to_tell_is_looked_at_with_the_next(
    owner: User, now: datetime
) -> None:
    upload = begin(owner, now, b"<html>" + bytes(994))
    pieces.take_piece(upload.token, 0, b"<html>", now)
    with pytest.raises(NotAFilm):
        pieces.take_piece(upload.token, 6, bytes(994), now)


def test_larger_than_settings_say_is_refused(owner: User, now: datetime) -> None:
    with pytest.raises(LargerFilm, match="larger than 1 MB"):
        begin(owner, now, bytes(1_000_001), most_mb=1)


def test_disk_without_room_is_said_before_anything_is_sent(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pieces, "LEFT_FREE", 10**18)
    with pytest.raises(NoRoom, match="Make room"):
        begin(owner, now)


def test_disk_that_fills_up_meanwhile_loses_nothing(
    owner: User, now: datetime, media: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM[:4000], now)

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, "full")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full)
        with pytest.raises(DiskFull, match="disk of the shop is full"):
            pieces.take_piece(upload.token, 4000, FILM[4000:], now)
    assert Upload.objects.get().received == 4000
    pieces.take_piece(upload.token, 4000, FILM[4000:], now)
    assert kept(pieces.finish_upload(upload.token, now), media) == FILM


def test_given_up_is_gone(owner: User, now: datetime, media: Path) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM[:4000], now)
    pieces.give_up(upload.token, now)
    assert on_disk(upload, media) == b""
    with pytest.raises(UploadEnded):
        pieces.take_piece(upload.token, 4000, FILM[4000:], now)


def test_what_nobody_went_on_with_is_swept(owner: User, now: datetime, media: Path) -> None:
    old = begin(owner, now - pieces.GIVEN_UP_AFTER - timedelta(minutes=1), mark="old")
    pieces.take_piece(old.token, 0, FILM[:4000], now - pieces.GIVEN_UP_AFTER - timedelta(minutes=1))
    new = begin(owner, now, mark="new")
    pieces.take_piece(new.token, 0, FILM[:4000], now)
    for path in (media / "pieces").iterdir():
        os.utime(path, (0, 0))
    assert pieces.sweep_pieces(now) == 1
    assert on_disk(old, media) == b""
    assert on_disk(new, media) == FILM[:4000]


def address(upload: Upload) -> str:
    return reverse("files_upload", args=[upload.token])


def patch(client: Client, upload: Upload, at: int, piece: bytes) -> Any:
    return client.patch(
        address(upload), piece, content_type="application/octet-stream",
        headers={"Upload-Offset": str(at)},
    )  # fmt: skip


def test_answer_names_what_is_on_the_disk(
    bench_client: Client, bench_hand: User, now: datetime
) -> None:
    upload = begin(bench_hand, now)
    answer = patch(bench_client, upload, 0, FILM[:4000])
    assert (answer.status_code, answer.json()) == (200, {"received": 4000})
    answer = patch(bench_client, upload, 0, FILM[:4000])
    assert (answer.status_code, answer.headers["Upload-Offset"]) == (409, "4000")
    assert bench_client.get(address(upload)).json() == {"received": 4000}
    assert bench_client.head(address(upload)).headers["Upload-Offset"] == "4000"


def test_piece_beyond_the_bound_of_forms_is_taken(
    bench_client: Client, bench_hand: User, now: datetime
) -> None:
    film = films.like(size=7 * 1024 * 1024)
    upload = begin(bench_hand, now, film)
    assert patch(bench_client, upload, 0, film).json() == {"received": len(film)}


def test_piece_beyond_ours_is_refused(
    bench_client: Client, bench_hand: User, now: datetime
) -> None:
    film = films.like(size=pieces.MOST_OF_PIECE + 1)
    upload = begin(bench_hand, now, film)
    assert patch(bench_client, upload, 0, film).status_code == 413


@pytest.mark.parametrize("offset", ["", "-1", "x", "1e3", "²"])
def test_offset_that_is_none_is_refused(
    bench_client: Client, bench_hand: User, now: datetime, offset: str
) -> None:
    upload = begin(bench_hand, now)
    headers = {"Upload-Offset": offset} if offset else {}
    answer = bench_client.patch(address(upload), FILM, headers=headers)
    assert answer.status_code == 400


def test_what_cannot_be_kept_is_said(bench_client: Client, bench_hand: User, now: datetime) -> None:
    upload = begin(bench_hand, now, bytes(1000))
    answer = patch(bench_client, upload, 0, bytes(1000))
    assert (answer.status_code, answer.json()["why"][:18]) == (422, "This is not a film")
    assert patch(bench_client, upload, 0, bytes(1000)).status_code == 410


def test_stranger_sends_nothing(stranger: Client, bench_hand: User, now: datetime) -> None:
    upload = begin(bench_hand, now)
    assert patch(stranger, upload, 0, FILM).status_code == 302
    assert Upload.objects.get().received == 0


def test_forged_piece_is_refused(bench_hand: User, now: datetime) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(bench_hand)
    assert patch(client, begin(bench_hand, now), 0, FILM).status_code == 403


@pytest.mark.django_db(transaction=True)
def test_two_at_once_on_one_file_never_mix(owner: User, now: datetime, media: Path) -> None:
    upload = begin(owner, now)
    refused: list[int] = []

    def sending() -> None:
        at = 0
        while at < len(FILM):
            try:
                at = pieces.take_piece(upload.token, at, FILM[at : at + 700], now)
            except AnotherOffset as error:
                refused.append(error.received)
                at = error.received

    assert at_once(sending, sending) == [None, None]
    assert kept(pieces.finish_upload(upload.token, now), media) == FILM


def test_file_is_synced_before_it_is_acknowledged(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    upload, seen = begin(owner, now), []
    sync = os.fsync

    def noting(handle: int) -> None:
        seen.append(Upload.objects.get().received)
        sync(handle)

    monkeypatch.setattr(os, "fsync", noting)
    pieces.take_piece(upload.token, 0, FILM[:4000], now)
    assert seen
    assert set(seen) == {0}
