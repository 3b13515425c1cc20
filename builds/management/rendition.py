"""Holds our renditions of a 12-megapixel JPEG against the fastest way that Pillow offers."""

from collections.abc import Callable, Iterator
from io import BytesIO
from statistics import median
from time import process_time

from PIL import Image, ImageFilter

from shop.files.renditions import QUALITY, SIDES, fitted, make

SIZE, ROUNDS = (4032, 3024), 15
MOST = 1.15


def rendition() -> Iterator[str]:
    """Both in turn, in seconds of the processor."""
    photo = _photo()
    ways: dict[str, Callable[[bytes], object]] = {
        "ours, two sizes": lambda jpeg: make(BytesIO(jpeg)),
        "Pillow’s thumbnail (draft mode)": _thumbnail,
        "draft, then resize": _draft,
        "draft, reducing in steps": _reduced,
    }
    took: dict[str, list[float]] = {name: [] for name in ways}
    for round_ in range(ROUNDS + 1):
        for name, way in ways.items():
            begun = process_time()
            way(photo)
            if round_:  # the first time loads what is loaded once
                took[name].append(process_time() - begun)
    (ours, *others), fastest = ways, min(median(took[name]) for name in list(ways)[1:])
    yield f"a JPEG of {SIZE[0]} × {SIZE[1]}, {len(photo) / 1e6:.1f} MB, to WebP of {SIDES}:"
    for name in (ours, *others):
        yield f"  {name}: {median(took[name]) * 1000:.0f} ms"
    ratio = median(took[ours]) / fastest
    met = "met" if ratio <= MOST else "missed"
    yield f"  ratio to the fastest {ratio:.2f}, at most {MOST} {met}"


def _photo() -> bytes:
    """A picture with as much in it as a photo has: shapes, and the grain of a sensor."""
    noise = Image.effect_noise((SIZE[0] // 4, SIZE[1] // 4), 90).resize(SIZE)
    grain = Image.effect_noise(SIZE, 12)
    shapes = Image.radial_gradient("L").resize(SIZE).filter(ImageFilter.GaussianBlur(3))
    out = BytesIO()
    Image.merge("RGB", (shapes, noise, grain)).save(out, "JPEG", quality=90)
    return out.getvalue()


def _encoded(picture: Image.Image, side: int) -> bytes:
    out = BytesIO()
    size = fitted(*picture.size, side)
    small = picture if size == picture.size else picture.resize(size, Image.Resampling.LANCZOS)
    small.save(out, "WEBP", quality=QUALITY, method=2)
    return out.getvalue()


def _thumbnail(jpeg: bytes) -> list[bytes]:
    picture = Image.open(BytesIO(jpeg))
    picture.thumbnail((SIDES[0], SIDES[0]), Image.Resampling.LANCZOS)
    return [_encoded(picture, side) for side in SIDES]


def _draft(jpeg: bytes) -> list[bytes]:
    picture = Image.open(BytesIO(jpeg))
    size = fitted(*picture.size, SIDES[0])
    picture.draft("RGB", size)
    return [_encoded(picture.resize(size, Image.Resampling.LANCZOS), side) for side in SIDES]


def _reduced(jpeg: bytes) -> list[bytes]:
    picture = Image.open(BytesIO(jpeg))
    size = fitted(*picture.size, SIDES[0])
    picture.draft("RGB", size)
    small = picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)
    return [_encoded(small, side) for side in SIDES]
