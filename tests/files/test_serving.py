"""Private files over HTTP: who sees them, ranges, caches."""

from datetime import datetime
from pathlib import Path

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from shop.files import actions, names, rendering
from shop.files.models import Blob
from tests.files.pictures import encoded, picture, upload

CONTENT = encoded(picture(300, 200))
SIZE = len(CONTENT)


@pytest.fixture
def blob(db: None, now: datetime) -> Blob:
    return actions.keep(upload(CONTENT), now)


@pytest.fixture
def address(blob: Blob) -> str:
    return reverse("files_original", args=[blob.id])


def body(response) -> bytes:  # type: ignore[no-untyped-def]
    return b"".join(response.streaming_content) if response.streaming else response.content


def test_stranger_cannot_see_photo(stranger: Client, blob: Blob) -> None:
    for address in (
        reverse("files_rendition", args=[blob.id, 320]),
        reverse("files_original", args=[blob.id]),
    ):
        assert stranger.get(address).status_code == 302


def test_bench_hand_sees_rendition(bench_client: Client, blob: Blob, now: datetime) -> None:
    rendering.render(blob.id, now)
    response = bench_client.get(reverse("files_rendition", args=[blob.id, 320]))
    assert response.headers["Content-Type"] == "image/webp"
    assert response.headers["Cache-Control"] == "private, max-age=31536000, immutable"
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert response.headers["Content-Disposition"].startswith("inline")
    assert body(response)[:4] == b"RIFF"


def test_unknown_size_is_not_found(bench_client: Client, blob: Blob) -> None:
    assert bench_client.get(reverse("files_rendition", args=[blob.id, 999])).status_code == 404


def test_unknown_photo_is_not_found(bench_client: Client, db: None) -> None:
    assert bench_client.get(reverse("files_rendition", args=[4711, 320])).status_code == 404


def test_picture_that_is_being_made_says_so_and_is_not_cached(
    bench_client: Client, blob: Blob
) -> None:
    response = bench_client.get(reverse("files_rendition", args=[blob.id, 320]))
    assert response.headers["Content-Type"].startswith("image/svg+xml")
    assert response.headers["Cache-Control"] == "no-store"
    assert "being made" in response.text


def test_picture_that_cannot_be_made_says_why(bench_client: Client, blob: Blob) -> None:
    Blob.objects.update(problem="It <broke>.")
    response = bench_client.get(reverse("files_rendition", args=[blob.id, 320]))
    assert "It &lt;broke&gt;." in response.text


def test_file_that_is_gone_is_not_found(
    bench_client: Client, blob: Blob, media: Path, address: str
) -> None:
    (media / names.original(blob.sha256)).unlink()
    assert bench_client.get(address).status_code == 404


def test_original_is_saved_and_not_shown(bench_client: Client, address: str) -> None:
    response = bench_client.get(address)
    assert response.headers["Content-Disposition"].startswith("attachment")
    assert body(response) == CONTENT
    assert int(response.headers["Content-Length"]) == SIZE


@pytest.mark.parametrize(
    ("wanted", "start", "end"),
    [
        ("bytes=0-0", 0, 0),
        ("bytes=10-19", 10, 19),
        ("bytes=10-", 10, SIZE - 1),
        ("bytes=-5", SIZE - 5, SIZE - 1),
        (f"bytes=-{SIZE * 9}", 0, SIZE - 1),
        (f"bytes=5-{SIZE * 9}", 5, SIZE - 1),
        (f"bytes={SIZE - 1}-", SIZE - 1, SIZE - 1),
    ],
)
def test_range_is_sent(
    bench_client: Client, address: str, wanted: str, start: int, end: int
) -> None:
    response = bench_client.get(address, headers={"Range": wanted})
    assert response.status_code == 206
    assert response.headers["Content-Range"] == f"bytes {start}-{end}/{SIZE}"
    assert response.headers["Content-Length"] == str(end - start + 1)
    assert body(response) == CONTENT[start : end + 1]


@pytest.mark.parametrize("wanted", [f"bytes={SIZE}-", f"bytes={SIZE * 2}-{SIZE * 3}", "bytes=-0"])
def test_range_past_the_end_is_refused(bench_client: Client, address: str, wanted: str) -> None:
    response = bench_client.get(address, headers={"Range": wanted})
    assert response.status_code == 416
    assert response.headers["Content-Range"] == f"bytes */{SIZE}"


@pytest.mark.parametrize(
    "wanted",
    [
        "bytes=0-1,4-5",
        "bytes=9-3",
        "bytes=-",
        "lines=0-1",
        "bytes=a-b",
        "bytes=" + "9" * 5000 + "-",
    ],
)
def test_other_ranges_get_the_whole_file(bench_client: Client, address: str, wanted: str) -> None:
    response = bench_client.get(address, headers={"Range": wanted})
    assert response.status_code == 200
    assert body(response) == CONTENT


def test_range_of_another_version_gets_the_whole_file(bench_client: Client, address: str) -> None:
    headers = {"Range": "bytes=0-1", "If-Range": '"another"'}
    assert body(bench_client.get(address, headers=headers)) == CONTENT


def test_range_of_this_version_is_sent(bench_client: Client, address: str, blob: Blob) -> None:
    headers = {"Range": "bytes=0-1", "If-Range": f'"{blob.sha256}"'}
    assert body(bench_client.get(address, headers=headers)) == CONTENT[:2]


@pytest.mark.parametrize("said", ['"{}"', 'W/"{}"', '"other", "{}"', "*"])
def test_known_version_is_not_sent_again(
    bench_client: Client, address: str, blob: Blob, said: str
) -> None:
    headers = {"If-None-Match": said.format(blob.sha256), "Range": "bytes=0-1"}
    response = bench_client.get(address, headers=headers)
    assert (response.status_code, body(response)) == (304, b"")
    assert response.headers["ETag"] == f'"{blob.sha256}"'


def test_head_tells_the_size_alone(bench_client: Client, address: str) -> None:
    response = bench_client.head(address, headers={"Range": "bytes=0-1"})
    assert (response.status_code, body(response)) == (200, b"")
    assert response.headers["Content-Length"] == str(SIZE)
    assert response.headers["Accept-Ranges"] == "bytes"


def test_photo_is_not_changed_by_post(bench_client: Client, address: str) -> None:
    assert bench_client.post(address).status_code == 405


def test_proxy_sends_the_file_where_it_is_set(
    bench_client: Client, address: str, blob: Blob, settings: Settings
) -> None:
    settings.ACCEL_REDIRECT = "/private/"
    response = bench_client.get(address)
    assert response.headers["X-Accel-Redirect"] == f"/private/{names.original(blob.sha256)}"
    assert body(response) == b""
