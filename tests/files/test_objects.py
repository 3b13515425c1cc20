"""Files in an object store: kept before it is said, served by ranges, swept, away for a while."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from shop import env
from shop.files import actions, names, pieces, rendering
from shop.files.models import Blob
from shop.files.objects import ObjectStorage
from shop.files.queries import on_disk
from shop.files.refusals import NoStore
from shop.models import User
from tests import films, object_store
from tests.files.pictures import encoded, picture, upload
from tests.object_store import Store

pytestmark = [pytest.mark.server, pytest.mark.django_db]
CONTENT = encoded(picture(300, 200))
FILM = films.like(size=3_000_000)


@pytest.fixture
def store(settings: Settings, media: Path) -> Iterator[Store]:
    """A store that the shop keeps its files in; pieces and what comes lie in ``media``."""
    with object_store.running() as store:
        settings.STORAGES = {**settings.STORAGES, "default": store.storage(media)}
        yield store


@pytest.fixture
def away(store: Store) -> Store:
    """The same, which does not answer any more."""
    store.server.stop()
    return store


def _kept(store: Store, now: datetime) -> Blob:
    return actions.keep(upload(CONTENT), now)


def _film(store: Store, by: User, now: datetime) -> Blob:
    begun = pieces.begin_upload(
        "film:build:1", "clip.mp4", len(FILM), mark="m", most_mb=100, token=uuid4(), by=by, now=now
    )
    for start in range(0, len(FILM), 1_000_000):
        assert names.ORIGINALS not in str(store.files())
        pieces.take_piece(begun.token, start, FILM[start : start + 1_000_000], now)
    return pieces.finish_upload(begun.token, now)


def _body(answer: Any) -> bytes:
    return b"".join(answer.streaming_content)


def _left(media: Path) -> list[Path]:
    return [path for path in media.rglob("*") if path.is_file()]


def test_photo_is_in_the_store_and_nothing_is_left_here(
    store: Store, media: Path, now: datetime
) -> None:
    blob = _kept(store, now)
    assert store.files() == {names.original(blob.sha256): CONTENT}
    assert _left(media) == []


def test_pictures_are_made_and_shown(store: Store, bench_client: Client, now: datetime) -> None:
    blob = _kept(store, now)
    assert rendering.render(blob.id, now)
    assert set(store.files()) == {
        names.original(blob.sha256), *(names.rendition(blob.sha256, n) for n in (1600, 320))
    }  # fmt: skip
    shown = bench_client.get(reverse("files_rendition", args=[blob.id, 320]))
    assert shown.headers["Content-Type"] == "image/webp"
    assert _body(shown)[:4] == b"RIFF"


@pytest.mark.parametrize(
    ("asked", "part"),
    [("bytes=0-9", slice(0, 10)), ("bytes=500-", slice(500, None)), ("bytes=-7", slice(-7, None))],
)
def test_range_comes_from_the_store(
    store: Store, owner_client: Client, now: datetime, asked: str, part: slice
) -> None:
    address = reverse("files_original", args=[_kept(store, now).id])
    answer = owner_client.get(address, headers={"range": asked})
    assert answer.status_code == 206
    assert _body(answer) == CONTENT[part]
    assert answer.headers["Cache-Control"].startswith("private")


def test_nothing_is_handed_out_by_a_link_of_the_stores_own(
    store: Store, stranger: Client, now: datetime
) -> None:
    blob = _kept(store, now)
    with pytest.raises(ValueError, match="served by pages"):
        default_storage.url(names.original(blob.sha256))
    assert stranger.get(reverse("files_original", args=[blob.id])).status_code == 302


def test_film_in_pieces_is_here_until_it_is_whole_and_then_there(
    store: Store, media: Path, owner: User, now: datetime
) -> None:
    blob = _film(store, owner, now)
    assert store.files() == {names.original(blob.sha256): FILM}
    assert _left(media) == []


def test_a_range_of_a_film_is_read_from_where_it_begins(
    store: Store, owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    blob, began = _film(store, owner, now), []
    real = ObjectStorage.read_from

    def noted(storage: Any, name: str, start: int) -> Any:
        began.append(start)
        return real(storage, name, start)

    monkeypatch.setattr(ObjectStorage, "read_from", noted)
    with default_storage.open(names.original(blob.sha256)) as file:
        file.seek(2_500_000)
        assert file.read(10) == FILM[2_500_000:2_500_010]
    assert began == [2_500_000]


def test_film_has_a_path_for_the_programs_that_want_one(
    store: Store, media: Path, owner: User, now: datetime
) -> None:
    with on_disk(_film(store, owner, now)) as path:
        assert path.read_bytes() == FILM
    assert _left(media) == []


def test_large_film_stays_here_for_the_next_look(
    store: Store, media: Path, owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    blob = _film(store, owner, now)
    monkeypatch.setattr("shop.files.objects.KEPT_FROM", 1_000_000)
    for _ in range(2):
        with on_disk(blob) as path:
            assert path.read_bytes() == FILM
    (left,) = _left(media)
    assert left.read_bytes() == FILM
    assert default_storage.discard_unfinished(now + timedelta(days=365)) == 1


def test_orphan_of_a_day_is_swept_and_a_known_file_stays(
    store: Store, owner: User, now: datetime
) -> None:
    blob = _film(store, owner, now)
    store.put(names.original("0" * 64), b"nobody's")
    assert actions.sweep_orphans(datetime.now(now.tzinfo)) == 0
    assert actions.sweep_orphans(datetime.now(now.tzinfo) + timedelta(days=2)) == 1
    assert names.original(blob.sha256) in store.files()
    assert names.original("0" * 64) not in store.files()


def test_orphan_that_was_kept_anew_while_it_was_swept_is_put_back(
    store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    sha256 = _kept(store, datetime.now(now.tzinfo)).sha256
    # The sweep judged by what it had read before somebody kept the same photo again.
    assert default_storage.discard_older(
        names.original(sha256), datetime.now(now.tzinfo) + timedelta(days=2)
    )
    assert names.original(sha256) not in store.files()
    actions.sweep_orphans(datetime.now(now.tzinfo))
    assert store.files() == {names.original(sha256): CONTENT}


def test_sweep_of_a_store_without_files_finds_nothing(store: Store, now: datetime) -> None:
    assert actions.sweep_orphans(now) == 0


def test_store_that_is_away_keeps_nothing_and_says_so(
    away: Store, media: Path, now: datetime
) -> None:
    with pytest.raises(NoStore, match="does not answer"):
        actions.keep(upload(CONTENT), now)
    assert not Blob.objects.exists()
    assert _left(media) == []


def test_file_that_the_store_cut_short_is_not_kept(
    store: Store, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ObjectStorage, "size", lambda *_: 1)
    with pytest.raises(NoStore):
        actions.keep(upload(CONTENT), now)
    assert not Blob.objects.exists()


def test_store_that_is_away_is_no_fault_of_the_photo(
    store: Store, now: datetime, owner_client: Client
) -> None:
    blob = _kept(store, now)
    store.server.stop()
    assert not rendering.render(blob.id, now)
    blob.refresh_from_db()
    assert (blob.tries, blob.problem) == (0, "")
    answer = owner_client.get(reverse("files_original", args=[blob.id]))
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "30")


def test_file_that_is_gone_from_the_store_is_missing_as_on_a_disk(
    store: Store, now: datetime, owner_client: Client
) -> None:
    blob = _kept(store, now)
    default_storage.delete(names.original(blob.sha256))
    assert owner_client.get(reverse("files_original", args=[blob.id])).status_code == 404
    assert not rendering.render(blob.id, now)
    blob.refresh_from_db()
    assert "missing" in blob.problem


def test_same_name_is_written_over(store: Store) -> None:
    for content in (b"one", b"two"):
        assert default_storage.save("originals/aa/x", ContentFile(content)) == "originals/aa/x"
    assert store.files() == {"originals/aa/x": b"two"}


def test_environment_names_the_store(monkeypatch: pytest.MonkeyPatch) -> None:
    said = "s3://larkhill/shop/media?endpoint=https://objects.example&region=eu-1&addressing=path"
    monkeypatch.setenv("MEDIA_STORE", said)
    monkeypatch.setenv("MEDIA_KEY_ID", "id")
    monkeypatch.setenv("MEDIA_SECRET", "secret")
    assert env.object_store() == {
        "bucket_name": "larkhill", "location": "shop/media", "region_name": "eu-1",
        "endpoint_url": "https://objects.example", "addressing_style": "path",
        "access_key": "id", "secret_key": "secret",
    }  # fmt: skip
    monkeypatch.delenv("MEDIA_STORE")
    assert env.object_store() == {}
