"""Pictures made for the tests."""

from io import BytesIO
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import ExifTags, Image, ImageDraw

TAKEN_AT = "Larkhill bench"  # stands in the metadata where a camera writes the place


def picture(width: int = 64, height: int = 48, mode: str = "RGB") -> Image.Image:
    """A picture whose left upper corner is red and whose rest is grey."""
    image = Image.new(mode, (width, height), "gray")
    ImageDraw.Draw(image).rectangle((0, 0, width // 4, height // 4), fill="red")
    return image


def encoded(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    """The picture's bytes."""
    out = BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def with_camera_data(image: Image.Image, orientation: int = 1) -> bytes:
    """A JPEG as a phone writes it: turned by a flag, with words of its own."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.ImageDescription] = TAKEN_AT
    return encoded(image, exif=exif.tobytes(), comment=TAKEN_AT.encode(), quality=95)


def upload(content: bytes, name: str = "photo.jpg") -> SimpleUploadedFile:
    """The bytes as a form hands them over."""
    return SimpleUploadedFile(name, content, "image/jpeg")
