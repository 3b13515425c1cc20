"""Reads pictures with care: by content alone, in the kinds named, within a number of pixels.

Reading a picture to its end costs memory by its pixels, and how much depends on the kind: a
progressive JPEG takes 6 bytes a pixel (measured), WebP 15, HEIC 7, PNG 4, any other JPEG next to
nothing when it is read at an eighth. What would cost the web server more than ``READ_HERE`` is
looked at by its container; the worker, one picture at a time, finds whatever is broken inside.
"""

import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import IO

import pillow_heif
from PIL import ExifTags, Image, UnidentifiedImageError

from shop.files import containers
from shop.files.refusals import Bomb, Broken, NotAPicture, Refused, TooManyPixels

JPEG_PIXELS = 100_000_000
OTHER_PIXELS = 50_000_000
READ_HERE = 280_000_000
# What is kept, by Pillow's names.
MEDIA_TYPES = {
    "JPEG": "image/jpeg",
    "PNG": "image/png",
    "WEBP": "image/webp",
    "HEIF": "image/heic",
}
# Bytes a pixel while a picture is read to its end.
_WEIGHTS = {"PNG": 4, "WEBP": 16, "HEIF": 8}
_WEIGHT_OF_PROGRESSIVE = 6
# Pillow calls a JPEG with a second picture behind the first (a depth or light map) by this name.
_ALSO_JPEG = "MPO"
_ONE_OF_MANY = {"JPEG", _ALSO_JPEG, "HEIF"}
_TURNED = {5, 6, 7, 8}  # orientations in which height and width change places

# Pillow warns at this many pixels and raises only at twice as many: here both are refusals.
Image.MAX_IMAGE_PIXELS = JPEG_PIXELS
warnings.simplefilter("error", Image.DecompressionBombWarning)
# Small pictures inside are not needed, and one photo must not take every core.
pillow_heif.register_heif_opener(thumbnails=False, depth_images=False, decode_threads=1)

_decoding = Lock()
# What decoders raise on bytes that make no sense; a time limit is none of these and goes through.
_OF_BROKEN_FILES = (
    ArithmeticError, EOFError, LookupError, MemoryError, OSError, RuntimeError, struct.error,
    SyntaxError, TypeError, ValueError,
)  # fmt: skip


@dataclass(frozen=True)
class Seen:
    """What a picture is; width and height as it is shown, upright."""

    media_type: str
    width: int
    height: int


@contextmanager
def opened(source: "Path | IO[bytes]") -> Iterator[Image.Image]:
    """A picture whose header was read and whose pixels are within bounds; one at a time.

    Whatever fails inside becomes one of the refusals.
    """
    with _decoding:
        try:
            with Image.open(source, formats=list(MEDIA_TYPES)) as picture:
                _count(picture)
                yield picture
        except Refused:
            raise
        except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
            raise Bomb from error
        except UnidentifiedImageError as error:
            raise (Broken if _begins_well(source) else NotAPicture) from error
        except _OF_BROKEN_FILES as error:
            raise Broken from error


def _begins_well(source: "Path | IO[bytes]") -> bool:
    if isinstance(source, Path):
        with source.open("rb") as file:
            return containers.begins_well(file.read(containers.HEAD))
    source.seek(0)
    return containers.begins_well(source.read(containers.HEAD))


def check(path: Path) -> Seen:
    """Read a picture to its end, or to what its container says of it, or refuse it."""
    with opened(path) as picture:
        seen = Seen(_media_type(picture), *shown_size(picture))
        if _weight(picture) <= READ_HERE:
            _read_to_the_end(picture)
        elif not containers.is_whole(path, str(picture.format)):
            raise Broken
    if seen.media_type == "image/png":
        # Reading stops at the last pixel; what is cut off behind it shows in the chunks alone.
        with opened(path) as picture:
            picture.verify()
    return seen


def orientation(picture: Image.Image) -> int:
    """How the camera was held; 1 is upright."""
    try:
        value = picture.getexif().get(ExifTags.Base.Orientation, 1)
    except _OF_BROKEN_FILES:
        return 1  # A camera's notes may be broken in a picture that is whole
    return value if value in range(1, 9) else 1


def shown_size(picture: Image.Image) -> tuple[int, int]:
    """Width and height once upright."""
    width, height = picture.size
    return (height, width) if orientation(picture) in _TURNED else (width, height)


def is_jpeg(picture: Image.Image) -> bool:
    """Whether it can be decoded at a fraction of its size."""
    return picture.format in ("JPEG", _ALSO_JPEG)


def _media_type(picture: Image.Image) -> str:
    return MEDIA_TYPES["JPEG" if is_jpeg(picture) else str(picture.format)]


def _frames(picture: Image.Image) -> int:
    # Of a JPEG or HEIC with more pictures in it only the chief one is ever decoded.
    return 1 if picture.format in _ONE_OF_MANY else getattr(picture, "n_frames", 1)


def _weight(picture: Image.Image) -> int:
    if is_jpeg(picture):
        each = _WEIGHT_OF_PROGRESSIVE if picture.info.get("progressive") else 0
    else:
        each = _WEIGHTS[str(picture.format)]
    return each * picture.width * picture.height


def _count(picture: Image.Image) -> None:
    pixels = picture.width * picture.height * _frames(picture)
    if pixels > (JPEG_PIXELS if is_jpeg(picture) else OTHER_PIXELS):
        raise TooManyPixels


def _read_to_the_end(picture: Image.Image) -> None:
    if is_jpeg(picture):
        # An eighth in each direction reads every byte and needs a fraction of the memory.
        picture.draft(None, (max(1, picture.width // 8), max(1, picture.height // 8)))
    picture.load()
    for frame in range(1, _frames(picture)):
        picture.seek(frame)
        picture.load()
