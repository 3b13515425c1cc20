"""Reads files and their renditions; the way in for other rooms that show them."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

from django.core.files.storage import default_storage
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.template.loader import render_to_string
from PIL import Image

from shop.files import names
from shop.files.models import Blob, Rendition
from shop.files.renditions import SIDES
from shop.files.serving import Sending, send

LARGE, SMALL = SIDES
_ENDINGS = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "image/heic": "heic",
}
_OTHER_ENDINGS = {
    "application/pdf": "pdf",
    "application/zip": "zip",
    "audio/wav": "wav",
    "audio/x-wav": "wav",
    "text/csv": "csv",
    "video/mp4": "mp4",
    "video/quicktime": "mov",
    "video/webm": "webm",
}


def original_name(sha256: str) -> str:
    """Where the storage keeps a file as it came."""
    return names.original(sha256)


def rendition_name(sha256: str, side: int) -> str:
    """Where the storage keeps a picture made from it."""
    return names.rendition(sha256, side)


def rendition_of(blob: Blob, side: int) -> Rendition | None:
    """The picture made at a size, once it is made."""
    return blob.renditions.filter(longest_side=side).first()


def is_picture(blob: Blob) -> bool:
    """Whether it can be shown as a picture; a document is read by whoever knows what it is."""
    return blob.media_type.startswith("image/")


def document_of(blob: Blob) -> bytes | None:
    """A document as it was kept; None where its file is gone."""
    name = names.original(blob.sha256)
    if not default_storage.exists(name):
        return None
    with default_storage.open(name) as file:
        return bytes(file.read())


@contextmanager
def on_disk(blob: Blob) -> Iterator[Path]:
    """A file as it came, where it can be opened by its path for as long as this lasts.

    :raises FileNotFoundError: its row is there and its bytes are not.
    """
    name = names.original(blob.sha256)
    try:
        path = Path(default_storage.path(name))
    except NotImplementedError:  # an object store
        with default_storage.on_disk(name) as copy:  # type: ignore[attr-defined]
            yield copy
        return
    if not path.is_file():
        raise FileNotFoundError(name)
    yield path


def send_file(
    request: HttpRequest, blob: Blob, file_name: str, media_type: str = ""
) -> HttpResponseBase:
    """Answer with a file as it came, to be saved under a name.

    The caller has made sure that whoever asks may have it.
    """
    plain = plain_name(file_name)
    original = names.original(blob.sha256)
    etag = f'"{blob.sha256}"'
    return send(
        request,
        Sending(
            original, blob.size, media_type or blob.media_type, etag, plain, as_attachment=True
        ),
    )


def show_file(
    request: HttpRequest, blob: Blob, file_name: str, kept_s: int | None = None
) -> HttpResponseBase:
    """Answer with a file as it came, or a range of it, to be looked at where it is asked for.

    :param kept_s: how long a browser may keep it, where it may be taken back; else for good.
    """
    what = Sending(
        names.original(blob.sha256), blob.size, blob.media_type, f'"{blob.sha256}"',
        plain_name(file_name),
    )  # fmt: skip
    response = send(request, what)
    if kept_s is not None and response.status_code != 416:
        response["Cache-Control"] = f"private, max-age={kept_s}"
    return response


def plain_name(file_name: str) -> str:
    """A name for a file that every system and every header bears."""
    return re.sub(r"[^A-Za-z0-9._ -]", "_", file_name)[-120:].strip(". ") or "file"


def any_being_made(blobs: QuerySet[Blob]) -> bool:
    """Whether the worker still has pictures of some of them to make."""
    return blobs.filter(rendered_at=None, problem="").exists()


def renditions_waiting() -> int:
    """Of how many files the worker still has pictures to make."""
    return Blob.objects.filter(rendered_at=None, problem="").count()


def send_rendition(request: HttpRequest, blob: Blob, side: int) -> HttpResponseBase:
    """Answer with a picture of a blob, or with a drawing that says why there is none yet.

    The caller has made sure that whoever asks may see the blob.
    """
    if side not in SIDES:
        raise Http404
    picture = rendition_of(blob, side)
    if picture is None:
        return _stand_in(blob)
    return send(
        request,
        Sending(
            names.rendition(blob.sha256, side),
            picture.size,
            "image/webp",
            f'"{blob.sha256[:32]}-{side}-{picture.size}"',
            f"photo-{blob.id}-{side}.webp",
        ),
    )


def file_ending(media_type: str) -> str:
    """How the name of a file of a kind ends."""
    return _ENDINGS.get(media_type) or _OTHER_ENDINGS.get(media_type, "bin")


def send_original(request: HttpRequest, blob: Blob) -> HttpResponseBase:
    """Answer with the file as it came, to be saved; it still tells where it was taken."""
    ending = _ENDINGS.get(blob.media_type, "bin")
    return send(
        request,
        Sending(
            names.original(blob.sha256),
            blob.size,
            blob.media_type,
            f'"{blob.sha256}"',
            f"photo-{blob.id}.{ending}",
            as_attachment=True,
        ),
    )


def jpeg_of(blob: Blob, side: int) -> bytes | None:
    """A rendition as JPEG, for mail programs that know no WebP; None where there is none."""
    name = names.rendition(blob.sha256, side)
    # Rows without their files, as after half a restore, hold up no mail either.
    if rendition_of(blob, side) is None or not default_storage.exists(name):
        return None
    with default_storage.open(name) as file:
        picture = Image.open(file, formats=["WEBP"]).convert("RGB")
    out = BytesIO()
    picture.save(out, "JPEG", quality=82, optimize=True)
    return out.getvalue()


def _stand_in(blob: Blob) -> HttpResponse:
    drawing = render_to_string("files/_stand_in.svg", {"problem": blob.problem})
    headers = {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff"}
    return HttpResponse(drawing, content_type="image/svg+xml; charset=utf-8", headers=headers)
