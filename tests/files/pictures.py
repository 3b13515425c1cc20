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
    exif = camera_data(orientation)
    return encoded(image, exif=exif, comment=TAKEN_AT.encode(), quality=95)


def camera_data(orientation: int = 1) -> bytes:
    """What a phone notes with a picture: how it was held, where it was."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.ImageDescription] = TAKEN_AT
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef] = "N"
    place[ExifTags.GPS.GPSLatitude] = (51.0, 30.0, 0.0)
    place[ExifTags.GPS.GPSAreaInformation] = TAKEN_AT
    return exif.tobytes()


def heic(image: Image.Image, orientation: int = 1, **options: Any) -> bytes:
    """A HEIC as a phone writes it: stored as the camera was held, with a flag and a place.

    :param image: as it is stored; the encoder turns the flag into the container's own.
    """
    return encoded(image, "HEIF", exif=camera_data(orientation), quality=80, **options)


def upload(content: bytes, name: str = "photo.jpg") -> SimpleUploadedFile:
    """The bytes as a form hands them over."""
    return SimpleUploadedFile(name, content, "image/jpeg")
