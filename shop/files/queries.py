"""Reads files and their renditions; the way in for other rooms that show them."""

from io import BytesIO

from django.core.files.storage import default_storage
from django.db.models import QuerySet
from PIL import Image

from shop.files import names
from shop.files.models import Blob, Rendition


def rendition_of(blob: Blob, side: int) -> Rendition | None:
    """The picture made at a size, once it is made."""
    return blob.renditions.filter(longest_side=side).first()


def any_being_made(blobs: QuerySet[Blob]) -> bool:
    """Whether the worker still has pictures of some of them to make."""
    return blobs.filter(rendered_at=None, problem="").exists()


def jpeg_of(blob: Blob, side: int) -> bytes | None:
    """A rendition as JPEG, for mail programs that know no WebP; None where there is none."""
    if rendition_of(blob, side) is None:
        return None
    with default_storage.open(names.rendition(blob.sha256, side)) as file:
        picture = Image.open(file, formats=["WEBP"]).convert("RGB")
    out = BytesIO()
    picture.save(out, "JPEG", quality=82, optimize=True)
    return out.getvalue()
