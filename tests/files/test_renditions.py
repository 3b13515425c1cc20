"""Renditions: upright, without metadata, never larger than the photo."""

import warnings
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.storage import default_storage
from PIL import Image, ImageCms

from shop import clock
from shop.files import actions, names, queries, rendering, tasks
from shop.files.models import Blob, Rendition
from shop.files.renditions import make
from tests.files.pictures import TAKEN_AT, encoded, heic, picture, upload, with_camera_data


def opened(webp: bytes) -> Image.Image:
    return Image.open(BytesIO(webp), formats=["WEBP"])


def is_red(image: Image.Image, x: int, y: int) -> bool:
    red, green, blue = image.convert("RGB").getpixel((x, y))
    return red > 180 and green < 90 and blue < 90


@pytest.mark.parametrize(
    ("size", "large", "small"),
    [
        ((4032, 3024), (1600, 1200), (320, 240)),
        ((3024, 4032), (1200, 1600), (240, 320)),
        ((1000, 500), (1000, 500), (320, 160)),
        ((64, 48), (64, 48), (64, 48)),
        ((2000, 1), (1600, 1), (320, 1)),
    ],
)
def test_longest_side_is_that_asked_for_and_never_more_than_it_was(
    size: tuple[int, int], large: tuple[int, int], small: tuple[int, int]
) -> None:
    made = make(BytesIO(encoded(picture(*size))))
    assert [(one.width, one.height) for one in made] == [large, small]
    assert [opened(one.webp).size for one in made] == [large, small]


@pytest.mark.parametrize(
    ("orientation", "corner"),
    [
        (1, (2, 2)), (2, (-3, 2)), (3, (-3, -3)), (4, (2, -3)),
        (5, (2, 2)), (6, (-3, 2)), (7, (-3, -3)), (8, (2, -3)),
    ],
)  # fmt: skip
def test_picture_stands_upright(orientation: int, corner: tuple[int, int]) -> None:
    made = make(BytesIO(with_camera_data(picture(400, 300), orientation)))[0]
    image = opened(made.webp)
    x, y = corner
    assert is_red(image, x % image.width, y % image.height)
    assert (image.width > image.height) == (orientation < 5)


@pytest.mark.parametrize(
    ("orientation", "corner"),
    [
        (1, (2, 2)), (2, (-3, 2)), (3, (-3, -3)), (4, (2, -3)),
        (5, (2, 2)), (6, (-3, 2)), (7, (-3, -3)), (8, (2, -3)),
    ],
)  # fmt: skip
def test_heic_stands_upright(orientation: int, corner: tuple[int, int]) -> None:
    image = opened(make(BytesIO(heic(picture(400, 300), orientation)))[0].webp)
    x, y = corner
    assert is_red(image, x % image.width, y % image.height)
    assert (image.width > image.height) == (orientation < 5)


def test_place_that_a_heic_was_taken_at_stays_in_the_original_alone() -> None:
    source = heic(picture())
    assert TAKEN_AT.encode() in source
    for made in make(BytesIO(source)):
        assert TAKEN_AT.encode() not in made.webp
        assert not {"exif", "icc_profile", "xmp"} & opened(made.webp).info.keys()


def test_heic_with_several_pictures_shows_its_chief_one() -> None:
    red, grey = Image.new("RGB", (64, 48), "red"), picture(64, 48)
    source = encoded(red, "HEIF", save_all=True, append_images=[grey], primary_index=1)
    image = opened(make(BytesIO(source))[0].webp)
    assert not is_red(image, 60, 40)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_of_the_camera_comes_along(kind: str) -> None:
    exif = Image.Exif()
    exif[0x010E] = TAKEN_AT
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    source = encoded(picture(), kind, exif=exif.tobytes(), icc_profile=profile)
    assert TAKEN_AT.encode() in source
    for made in make(BytesIO(source)):
        assert TAKEN_AT.encode() not in made.webp
        assert not {"exif", "icc_profile", "xmp"} & opened(made.webp).info.keys()


def test_transparent_ground_becomes_white() -> None:
    clear = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    image = opened(make(BytesIO(encoded(clear, "PNG")))[0].webp)
    assert min(image.convert("RGB").getpixel((20, 20))) > 250


@pytest.mark.parametrize("mode", ["L", "CMYK", "1", "P", "LA", "I;16"])
def test_every_mode_of_colour_is_rendered(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    image = Image.new("I;16", (40, 30), 65535) if mode == "I;16" else picture().convert(mode)
    assert make(BytesIO(encoded(image, kind)))


def test_sixteen_bits_of_grey_keep_their_middle() -> None:
    image = Image.new("I;16", (40, 30), 32768)
    grey = opened(make(BytesIO(encoded(image, "PNG")))[0].webp).convert("L")
    assert 120 < grey.getpixel((20, 15)) < 136  # type: ignore[operator]


def test_broken_profile_of_colours_is_passed_over() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        source = encoded(picture(), icc_profile=b"no profile at all")
    assert make(BytesIO(source))


@pytest.fixture
def blob(db: None, now: datetime) -> Blob:
    return actions.keep(upload(encoded(picture(2000, 1500))), now)


def test_worker_makes_both_pictures(blob: Blob, media: Path, now: datetime) -> None:
    assert rendering.render(blob.id, now)
    sizes = list(blob.renditions.order_by("longest_side").values_list("width", "height"))
    assert sizes == [(320, 240), (1600, 1200)]
    for side in (320, 1600):
        file = media / names.rendition(blob.sha256, side)
        assert file.stat().st_size == queries.rendition_of(blob, side).size  # type: ignore[union-attr]


def test_render_task_run_twice_renders_once(blob: Blob) -> None:
    tasks.render(blob.id)
    tasks.render(blob.id)
    blob.refresh_from_db()
    assert (blob.tries, Rendition.objects.count()) == (1, 2)


def test_vanished_blob_is_no_error(db: None) -> None:
    tasks.render(987654)
    assert not Rendition.objects.exists()


def test_sweep_finds_what_was_not_rendered(blob: Blob, now: datetime) -> None:
    assert rendering.left_over(now, 10) == []
    assert rendering.left_over(now + timedelta(minutes=1), 10) == [blob.id]
    rendering.render(blob.id, now)
    assert rendering.left_over(now + timedelta(minutes=1), 10) == []


@pytest.mark.django_db
def test_sweep_tasks_run_twice_without_harm() -> None:
    # By the true hour, as tasks go: what nobody holds on to is swept when it is a day old.
    blob = actions.keep(upload(encoded(picture(2000, 1500))), clock.now())
    for task in (tasks.sweep, tasks.sweep_orphans) * 2:
        task()
    assert Blob.objects.get() == blob


def test_broken_file_gets_its_problem_in_words(blob: Blob, media: Path, now: datetime) -> None:
    file = media / names.original(blob.sha256)
    file.write_bytes(file.read_bytes()[:2000])
    assert not rendering.render(blob.id, now)
    blob.refresh_from_db()
    assert blob.problem == "This picture did not come whole. Send it again."


def test_missing_file_gets_its_problem_in_words(blob: Blob, media: Path, now: datetime) -> None:
    (media / names.original(blob.sha256)).unlink()
    rendering.render(blob.id, now)
    blob.refresh_from_db()
    assert "missing" in blob.problem


def test_picture_that_kills_the_worker_is_given_up_in_words(blob: Blob, now: datetime) -> None:
    Blob.objects.update(tries=rendering.MOST_TRIES)
    assert not rendering.render(blob.id, now)
    assert rendering.left_over(now + timedelta(minutes=1), 10) == []
    blob.refresh_from_db()
    assert blob.problem


def test_mail_goes_without_a_picture_whose_file_is_gone(blob: Blob, now: datetime) -> None:
    rendering.render(blob.id, now)
    default_storage.delete(names.rendition(blob.sha256, 320))
    assert queries.jpeg_of(blob, 320) is None


def test_mail_gets_a_jpeg(blob: Blob, now: datetime) -> None:
    assert queries.jpeg_of(blob, 320) is None
    rendering.render(blob.id, now)
    jpeg = queries.jpeg_of(blob, 320)
    assert jpeg is not None
    assert Image.open(BytesIO(jpeg)).size == (320, 240)
