"""Keeping photos: byte for byte, once, and nothing that is not whole."""

import os
import random
import struct
import subprocess
import sys
import zlib
from contextlib import suppress
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Barrier, Thread
from uuid import uuid4

import pytest
from django.db import connection, transaction
from PIL import Image

from shop.files import actions, pictures, rendering
from shop.files.models import Blob
from shop.orders.enquiries import add_photos, note_enquiry
from shop.people.models import User
from tests.files.pictures import encoded, heic, picture, upload, with_camera_data

pytestmark = pytest.mark.django_db
WEBP = encoded(picture(), "WEBP")
PNG = encoded(picture(), "PNG")
JPEG = encoded(picture(800, 600), quality=95)
HEIC = heic(picture(400, 300))


def original(media: Path, content: bytes) -> Path:
    digest = sha256(content).hexdigest()
    return media / "originals" / digest[:2] / digest


@pytest.mark.parametrize(
    ("content", "media_type"),
    [(JPEG, "image/jpeg"), (PNG, "image/png"), (WEBP, "image/webp"), (HEIC, "image/heic")],
)
def test_photo_is_kept_byte_for_byte(
    media: Path, now: datetime, content: bytes, media_type: str
) -> None:
    blob = actions.keep(upload(content), now)
    assert original(media, content).read_bytes() == content
    assert (blob.media_type, blob.size) == (media_type, len(content))


def test_same_bytes_are_one_blob(now: datetime) -> None:
    first = actions.keep(upload(JPEG), now)
    assert actions.keep(upload(JPEG, "other.jpg"), now) == first
    assert Blob.objects.count() == 1


def test_photo_is_known_by_its_content_and_not_its_name(now: datetime) -> None:
    assert actions.keep(upload(PNG, "photo.jpg"), now).media_type == "image/png"


def test_size_is_that_of_the_upright_picture(now: datetime) -> None:
    blob = actions.keep(upload(with_camera_data(picture(64, 48), orientation=6)), now)
    assert (blob.width, blob.height) == (48, 64)


def test_size_of_a_turned_heic_is_that_of_the_upright_picture(now: datetime) -> None:
    blob = actions.keep(upload(heic(picture(64, 48), orientation=6)), now)
    assert (blob.width, blob.height) == (48, 64)


def test_jpeg_with_a_second_picture_behind_it_is_kept(now: datetime) -> None:
    content = encoded(picture(), "MPO", save_all=True, append_images=[picture(32, 24)])
    assert actions.keep(upload(content), now).media_type == "image/jpeg"


@pytest.mark.parametrize(
    ("content", "refusal"),
    [
        (b"", actions.Empty),
        (b"<html>not a picture</html>", actions.NotAPicture),
        (encoded(picture(), "GIF"), actions.NotAPicture),
        (encoded(picture(), "TIFF"), actions.NotAPicture),
        (b'<svg xmlns="http://www.w3.org/2000/svg"/>', actions.NotAPicture),
        (JPEG[: len(JPEG) // 2], actions.Broken),
        (JPEG[:-40], actions.Broken),
        (PNG[: len(PNG) // 2], actions.Broken),
        (PNG[:-12], actions.Broken),
        (WEBP[: len(WEBP) // 2], actions.Broken),
        (HEIC[: len(HEIC) // 2], actions.Broken),
        (HEIC[:-40], actions.Broken),
    ],
)
def test_what_is_no_whole_picture_is_refused(
    media: Path, now: datetime, content: bytes, refusal: type[actions.Refused]
) -> None:
    with pytest.raises(refusal):
        actions.keep(upload(content), now)
    assert not Blob.objects.exists()
    assert [path for path in media.rglob("*") if path.is_file()] == []


def test_every_refusal_is_a_sentence() -> None:
    sentences = [str(kind()) for kind in actions.Refused.__subclasses__()]
    assert all(sentence[0].isupper() and sentence.endswith(".") for sentence in sentences)


def test_too_many_bytes_are_refused(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    monkeypatch.setattr(actions, "MAX_BYTES", len(JPEG) - 1)
    with pytest.raises(actions.TooLarge):
        actions.keep(upload(JPEG), now)


def huge_png(width: int, height: int) -> bytes:
    """A few bytes that say they are a picture of this size."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("content", "refusal"),
    [
        (huge_png(8000, 6251), actions.TooManyPixels),
        (huge_png(12_000, 12_000), actions.Bomb),
        (huge_png(60_000, 60_000), actions.Bomb),
    ],
)
def test_too_many_pixels_are_refused_before_they_are_unpacked(
    now: datetime, content: bytes, refusal: type[actions.Refused]
) -> None:
    with pytest.raises(refusal):
        actions.keep(upload(content), now)


def test_pixels_of_all_frames_count(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    frames = [Image.new("RGB", (64, 48), colour) for colour in ("red", "green", "blue")]
    content = encoded(frames[0], "WEBP", save_all=True, append_images=frames[1:])
    monkeypatch.setattr(pictures, "OTHER_PIXELS", 64 * 48 * 2)
    with pytest.raises(actions.TooManyPixels):
        actions.keep(upload(content), now)


PROGRESSIVE = encoded(picture(800, 600), progressive=True)
HEAVY = [WEBP, HEIC, PROGRESSIVE, encoded(picture(800, 600), "MPO", progressive=True)]


@pytest.mark.parametrize("content", HEAVY)
def test_photo_too_heavy_to_unpack_here_is_kept_unread(
    monkeypatch: pytest.MonkeyPatch, now: datetime, content: bytes
) -> None:
    monkeypatch.setattr(pictures, "READ_HERE", 0)
    monkeypatch.setattr(pictures, "_read_to_the_end", lambda _: pytest.fail("was unpacked"))
    assert actions.keep(upload(content), now).size == len(content)


@pytest.mark.parametrize("content", HEAVY)
@pytest.mark.parametrize("missing", [20, 60])
def test_heavy_photo_that_was_cut_off_is_refused_at_once(
    monkeypatch: pytest.MonkeyPatch, now: datetime, content: bytes, missing: int
) -> None:
    monkeypatch.setattr(pictures, "READ_HERE", 0)
    with pytest.raises(actions.Broken):
        actions.keep(upload(content[:-missing]), now)


@pytest.mark.parametrize("size", [(4160, 4160), (8160, 6120)])
def test_looking_at_a_large_photo_costs_less_than_300_megabytes(size: tuple[int, int]) -> None:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "large"
        Image.new("RGB", size, "gray").save(path, "WEBP", quality=30, method=0)
        looked = subprocess.run(
            [sys.executable, "-c", LOOK, str(path)], capture_output=True, text=True, check=True
        )
    assert int(looked.stdout) < 300


# Megabytes that looking at a picture adds at its peak, in a process of its own.
LOOK = """
import os, sys, resource
os.environ["DJANGO_SETTINGS_MODULE"] = "tests.settings"
import django
django.setup()
from pathlib import Path
from shop.files.pictures import check
def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
before = peak()
check(Path(sys.argv[1]))
print((peak() - before) // 1024)
"""


@pytest.mark.django_db(transaction=True)
def test_photo_is_not_kept_inside_a_transaction(now: datetime) -> None:
    with pytest.raises(RuntimeError), transaction.atomic():
        actions.keep(upload(JPEG), now)


def test_damaged_file_is_healed_by_the_same_photo(media: Path, now: datetime) -> None:
    actions.keep(upload(JPEG), now)
    original(media, JPEG).write_bytes(b"damaged")
    actions.keep(upload(JPEG), now)
    assert original(media, JPEG).read_bytes() == JPEG


def test_orphan_goes_after_a_day(media: Path, now: datetime) -> None:
    actions.keep(upload(JPEG), now)
    Blob.objects.all().delete()
    file = original(media, JPEG)
    os.utime(file, (now.timestamp(), now.timestamp()))
    assert actions.sweep_orphans(now + timedelta(hours=23)) == 0
    assert actions.sweep_orphans(now + timedelta(hours=25)) == 1
    assert not file.exists()


def test_sweep_leaves_alone_what_has_a_row(media: Path, now: datetime) -> None:
    actions.keep(upload(JPEG), now)
    assert actions.sweep_orphans(now + timedelta(days=900)) == 0
    assert original(media, JPEG).exists()


def test_sweep_before_the_first_photo_is_no_error(now: datetime) -> None:
    assert actions.sweep_orphans(now) == 0


@pytest.mark.django_db(transaction=True)
def test_same_bytes_at_once_are_one_blob(media: Path, now: datetime) -> None:
    start, kept = Barrier(4), []

    def work() -> None:
        start.wait()
        kept.append(actions.keep(upload(JPEG), now))
        connection.close()

    helpers = [Thread(target=work) for _ in range(4)]
    for helper in helpers:
        helper.start()
    for helper in helpers:
        helper.join()
    assert {blob.id for blob in kept} == {Blob.objects.get().id}
    assert len(kept) == 4
    assert original(media, JPEG).read_bytes() == JPEG


def test_keeping_wakes_the_worker(now: datetime, django_capture_on_commit_callbacks) -> None:  # type: ignore[no-untyped-def]
    with django_capture_on_commit_callbacks() as wakes:
        blob = actions.keep(upload(JPEG), now)
    assert len(wakes) == 1
    rendering.render(blob.id, now)
    with django_capture_on_commit_callbacks() as wakes:
        actions.keep(upload(JPEG), now)
    assert wakes == []


def test_upload_cut_off_by_a_kill_goes_after_a_day(media: Path, now: datetime) -> None:
    actions.keep(upload(JPEG), now)
    rest = media / "incoming" / "half"
    rest.write_bytes(JPEG[:100])
    os.utime(rest, (now.timestamp(), now.timestamp()))
    assert actions.sweep_orphans(now + timedelta(hours=23)) == 0
    assert actions.sweep_orphans(now + timedelta(hours=25)) == 1
    assert not rest.exists()


@pytest.mark.filterwarnings("ignore::UserWarning:PIL")
@pytest.mark.parametrize("content", [JPEG, PNG, WEBP, HEIC, with_camera_data(picture(), 6)])
def test_damaged_bytes_are_kept_or_refused_and_never_an_error(
    now: datetime, content: bytes
) -> None:
    dice = random.Random(7)  # noqa: S311 – damage, not secrets
    for _ in range(60):
        damaged = bytearray(content)
        for _ in range(dice.randint(1, 8)):
            damaged[dice.randrange(len(damaged))] = dice.randrange(256)
        with suppress(actions.Refused):
            actions.keep(upload(bytes(damaged)), now)


def test_row_that_nothing_refers_to_goes_with_its_file_after_a_day(now: datetime) -> None:
    kept = actions.keep(upload(encoded(picture(31, 300))), now)
    actions.sweep_orphans(now + timedelta(hours=23))
    assert Blob.objects.filter(pk=kept.pk).exists()
    actions.sweep_orphans(now + timedelta(hours=25))
    assert not Blob.objects.filter(pk=kept.pk).exists()


def test_row_that_something_refers_to_stays(now: datetime, owner: User) -> None:
    kept = actions.keep(upload(encoded(picture(32, 300))), now)
    enquiry = note_enquiry(
        {"called": "Maud", "contact": "", "wishes": "light"}, token=uuid4(), by=owner, now=now
    )
    add_photos(enquiry.pk, [kept], owner, now)
    actions.sweep_orphans(now + timedelta(days=2))
    assert Blob.objects.filter(pk=kept.pk).exists()


def test_row_that_was_kept_once_more_is_young_again(now: datetime) -> None:
    photo, paper = encoded(picture(33, 300)), b"a paper of our own"
    kept = [actions.keep(upload(photo), now), actions.keep_document(paper, "text/plain", now)]
    again = now + timedelta(hours=30)
    actions.keep(upload(photo), again)
    actions.keep_document(paper, "text/plain", again)
    actions.sweep_orphans(again + timedelta(minutes=1))
    assert Blob.objects.filter(pk__in=[blob.pk for blob in kept]).count() == 2
    actions.sweep_orphans(again + timedelta(hours=25))
    assert not Blob.objects.filter(pk__in=[blob.pk for blob in kept]).exists()
