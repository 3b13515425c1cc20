"""Large files in pieces: what was acknowledged is on the disk, whatever breaks off in between."""

import errno
import hashlib
import os
import tempfile
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.db import connection
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from shop.files import pieces
from shop.files.containers import film_type
from shop.files.models import Blob, Upload
from shop.files.queries import original_name
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


def test_page_goes_on_with_another_film_after_one_that_was_none(
    owner: User, now: datetime, media: Path
) -> None:
    page, wrong = uuid4(), b"<html>" + bytes(9_994)
    first = begin(owner, now, wrong, token=page, mark="wrong")
    with pytest.raises(NotAFilm):
        pieces.take_piece(first.token, 0, wrong, now)
    upload = begin(owner, now, token=page)
    assert upload.pk != first.pk
    pieces.take_piece(upload.token, 0, FILM, now)
    assert kept(pieces.finish_upload(upload.token, now), media) == FILM


@pytest.mark.parametrize("size", [9_000, 10_000, 11_000])
def test_page_that_was_stopped_sends_another_film_apart(
    owner: User, now: datetime, media: Path, size: int
) -> None:
    page, other = uuid4(), films.like(films.WEBM, size)
    first = begin(owner, now, token=page)
    pieces.take_piece(first.token, 0, FILM[:400], now)
    second = begin(owner, now, other, token=page, mark="other")
    assert second.received == 0
    pieces.take_piece(second.token, 0, other, now)
    assert kept(pieces.finish_upload(second.token, now), media) == other
    again = begin(owner, now, token=page)  # the first goes on where it was
    assert (again.pk, again.received) == (first.pk, 400)


def test_page_begins_anew_after_it_gave_up(owner: User, now: datetime) -> None:
    page = uuid4()
    first = begin(owner, now, token=page)
    pieces.give_up(first.token, now)
    pieces.take_piece(begin(owner, now, token=page).token, 0, FILM, now)


def test_page_that_asks_again_for_what_is_kept_gets_it(owner: User, now: datetime) -> None:
    page = uuid4()
    pieces.take_piece(begin(owner, now, token=page).token, 0, FILM, now)
    blob = pieces.finish_upload(page, now)
    again = begin(owner, now, token=page)
    assert (again.received, pieces.finish_upload(again.token, now)) == (len(FILM), blob)


@pytest.mark.django_db(transaction=True)
def test_begun_twice_at_once_it_is_one(owner: User, now: datetime) -> None:
    page = uuid4()
    answers = at_once(*[lambda: begin(owner, now, token=page).pk] * 4)
    assert answers == [Upload.objects.get().pk] * 4


def test_begun_between_the_look_and_the_row_it_is_one(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    page, check = uuid4(), pieces._check_room
    ours: list[Upload] = []

    def first_of_two(size: int) -> None:
        monkeypatch.setattr(pieces, "_check_room", check)
        ours.append(begin(owner, now, token=page))

    monkeypatch.setattr(pieces, "_check_room", first_of_two)
    assert begin(owner, now, token=page).pk == ours[0].pk


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


def test_folder_that_is_everybodys_keeps_what_is_not_ours(
    owner: User, now: datetime, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    elsewhere = {"BACKEND": "django.core.files.storage.InMemoryStorage"}
    settings.STORAGES = {**settings.STORAGES, "default": elsewhere}
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    strangers = [tmp_path / "letter.txt", tmp_path / str(uuid4())]
    (tmp_path / "folder").mkdir()
    for path in strangers:
        path.write_text("somebody's")
    old = now - pieces.GIVEN_UP_AFTER - timedelta(minutes=1)
    upload = begin(owner, old)
    pieces.take_piece(upload.token, 0, FILM[:4000], old)
    (ours,) = set(tmp_path.glob("*/*"))
    (ours.parent / "notes").write_text("no token")
    (ours.parent / str(uuid4())).mkdir()
    for path in tmp_path.rglob("*"):
        os.utime(path, (0, 0))
    assert pieces.sweep_pieces(now) == 1
    assert not ours.exists()
    assert all(path.exists() for path in (*strangers, ours.parent / "notes"))


def test_storage_without_folders_keeps_a_film_all_the_same(
    owner: User, now: datetime, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    elsewhere = {"BACKEND": "django.core.files.storage.InMemoryStorage"}
    settings.STORAGES = {**settings.STORAGES, "default": elsewhere}
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM, now)
    blob = pieces.finish_upload(upload.token, now)
    with default_storage.open(original_name(blob.sha256)) as file:
        assert file.read() == FILM
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


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
    assert bench_client.get(address(upload)).json()["received"] == 4000
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


@pytest.mark.django_db(transaction=True)
def test_finished_twice_at_once_both_get_the_film(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM, now)
    second = _while_it_is_hashed(
        monkeypatch, lambda: pieces.finish_upload(upload.token, now).sha256
    )
    blob = pieces.finish_upload(upload.token, now)
    assert second() == blob.sha256
    assert list((Path(default_storage.path("pieces"))).iterdir()) == []


@pytest.mark.django_db(transaction=True)
def test_given_up_while_it_is_kept_it_stays_kept(
    owner: User, now: datetime, media: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    upload = begin(owner, now)
    pieces.take_piece(upload.token, 0, FILM, now)
    second = _while_it_is_hashed(monkeypatch, lambda: pieces.give_up(upload.token, now))
    blob = pieces.finish_upload(upload.token, now)
    assert second() is None
    assert kept(blob, media) == FILM
    upload.refresh_from_db()
    assert upload.blob == blob


def _while_it_is_hashed(
    monkeypatch: pytest.MonkeyPatch, deed: Callable[[], Any]
) -> Callable[[], Any]:
    """Start a deed of somebody else while a film is hashed; gives what waits for its answer."""
    others, hashed = ThreadPoolExecutor(1), pieces.file_digest
    begun: list[Future[Any]] = []

    def theirs() -> Any:
        try:
            return deed()
        finally:
            connection.close()

    def slowly(*args: Any) -> Any:
        if not begun:
            begun.append(others.submit(theirs))
            wait(begun, 0.5)  # without a lock it were done by now
        return hashed(*args)

    monkeypatch.setattr(pieces, "file_digest", slowly)
    return lambda: begun[0].result(30)


def test_token_of_forms_is_given_anew_after_somebody_signed_in(
    bench_hand: User, now: datetime
) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(bench_hand)
    upload = begin(bench_hand, now)
    old = client.get(address(upload)).json()["csrf"]
    del client.cookies["csrftoken"]  # as signing in does: another one takes its place
    new = client.get(address(upload)).json()["csrf"]
    codes = [
        client.patch(
            address(upload), FILM, content_type="application/octet-stream",
            headers={"Upload-Offset": "0", "X-CSRFToken": token},
        ).status_code
        for token in (old, new)
    ]  # fmt: skip
    assert codes == [403, 200]


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
