"""Makes pictures from a picture: upright, without metadata, never larger than it was.

Pure: bytes in, bytes out.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import IO

from PIL import Image, ImageCms

from shop.files.pictures import is_jpeg, opened, orientation

SIDES = (1600, 320)
QUALITY = 80
_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True)
class Made:
    """One picture made."""

    longest_side: int
    width: int
    height: int
    webp: bytes


def make(source: "IO[bytes]", sides: Sequence[int] = SIDES) -> list[Made]:
    """WebP pictures with the longest sides named, from one decoding; the largest first."""
    with opened(source) as picture:
        turned = _UPRIGHT.get(orientation(picture))
        profile = picture.info.get("icc_profile")
        small = _shrunk(picture, max(sides))
    clean = _in_plain_colours(small, profile)
    if turned is not None:
        clean = clean.transpose(turned)
    return [_encoded(clean, side) for side in sorted(sides, reverse=True)]


def fitted(width: int, height: int, side: int) -> tuple[int, int]:
    """The size with this longest side, or the size itself where it is no longer than that."""
    longest = max(width, height)
    if longest <= side:
        return width, height
    return max(1, round(width * side / longest)), max(1, round(height * side / longest))


def _shrunk(picture: Image.Image, side: int) -> Image.Image:
    box = fitted(*picture.size, side)
    if is_jpeg(picture):
        # The box has the picture's own proportions: a square one would decode at full size.
        picture.draft(None, box)
    picture.load()
    straight = _with_eight_bits(picture)
    return straight.resize(box, Image.Resampling.LANCZOS, reducing_gap=2.0)


def _with_eight_bits(picture: Image.Image) -> Image.Image:
    """A mode that can be resized smoothly, on white where it was transparent."""
    if picture.mode.startswith("I"):
        return picture.convert("I").point(lambda value: value / 256).convert("L")
    if picture.has_transparency_data:
        layer = picture.convert("RGBA")
        return Image.alpha_composite(Image.new("RGBA", layer.size, "white"), layer).convert("RGB")
    return picture if picture.mode in ("L", "RGB", "CMYK") else picture.convert("RGB")


def _in_plain_colours(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """The picture in sRGB, on fresh ground: nothing of the camera's metadata comes along."""
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(BytesIO(profile))
            target = ImageCms.createProfile("sRGB")
            converted = ImageCms.profileToProfile(picture, source, target, outputMode="RGB")
            picture = converted or picture
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass  # A profile that is broken or for other colours: the plain numbers then
    rgb = picture.convert("RGB")
    clean = Image.new("RGB", rgb.size)
    clean.paste(rgb)
    return clean


def _encoded(picture: Image.Image, side: int) -> Made:
    width, height = fitted(*picture.size, side)
    if (width, height) != picture.size:
        picture = picture.resize((width, height), Image.Resampling.LANCZOS)
    out = BytesIO()
    picture.save(out, "WEBP", quality=QUALITY, method=2)
    return Made(side, width, height, out.getvalue())
