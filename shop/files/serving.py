"""Sends a private file, whole or the one range that was asked for (RFC 9110, section 14).

Who may see it is decided by the view, before this.
"""

import re
from dataclasses import dataclass
from typing import IO, Any

from django.conf import settings
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.utils.translation import gettext as _

from shop.files.storage import StoreAway

BLOCK = 256 * 1024
# The name comes from the content, so what lies under it never changes.
KEEP_PRIVATELY = "private, max-age=31536000, immutable"
_ONE_RANGE = re.compile(r"bytes=\s*(\d{0,18})-(\d{0,18})\s*", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True)
class Sending:
    """A stored file and what is said of it."""

    name: str
    size: int
    media_type: str
    etag: str
    file_name: str = ""
    as_attachment: bool = False


class _PastTheEnd(Exception):
    """The range begins where the file has ended."""


class _Slice:
    """A file that ends early."""

    def __init__(self, file: IO[Any], start: int, length: int) -> None:
        self.file, self.left = file, length
        file.seek(start)

    def read(self, size: int = BLOCK) -> bytes:
        chunk = self.file.read(min(size if size >= 0 else self.left, self.left))
        self.left -= len(chunk)
        return bytes(chunk)

    def close(self) -> None:
        self.file.close()


def send(request: HttpRequest, what: Sending) -> HttpResponseBase:
    """Answer GET and HEAD for a file, by ETag, range and If-Range."""
    if _names(request.headers.get("If-None-Match", ""), what.etag):
        return _said(HttpResponse(status=304), what)
    if settings.ACCEL_REDIRECT:
        return _handed_to_the_proxy(what)
    if request.method == "HEAD":
        return _whole(HttpResponse(content_type=what.media_type), what)
    try:
        wanted = _wanted(request, what)
    except _PastTheEnd:
        refusal = HttpResponse(status=416, headers={"Content-Range": f"bytes */{what.size}"})
        refusal["Cache-Control"] = "no-store"
        return refusal
    start, end = wanted or (0, what.size - 1)
    stream = _stream(what, start, end - start + 1)
    if stream.status_code != 200:
        return stream
    if wanted is None:
        return _whole(stream, what)
    part = _said(stream, what)
    part.status_code = 206
    part["Content-Range"] = f"bytes {start}-{end}/{what.size}"
    part["Content-Length"] = str(end - start + 1)
    return part


def _wanted(request: HttpRequest, what: Sending) -> tuple[int, int] | None:
    """First and last byte of the range to send; None for the whole file."""
    # A date in If-Range can prove nothing here, since no Last-Modified is ever sent.
    if request.headers.get("If-Range", what.etag).strip() != what.etag:
        return None
    # Several ranges, other units and nonsense are passed over, as the standard allows.
    found = _ONE_RANGE.fullmatch(request.headers.get("Range", "").strip())
    first, last = found.groups() if found else ("", "")
    if not first and not last:
        return None
    if not first:
        return _suffix(int(last), what.size)
    start, end = int(first), int(last) if last else what.size - 1
    if last and end < start:
        return None
    if start >= what.size:
        raise _PastTheEnd
    return start, min(end, what.size - 1)


def _suffix(length: int, size: int) -> tuple[int, int]:
    if not length or not size:
        raise _PastTheEnd
    return max(0, size - length), size - 1


def _stream(what: Sending, start: int, length: int) -> HttpResponseBase:
    try:
        file = default_storage.open(what.name)
    except FileNotFoundError as error:  # A restored database without its media folder
        raise Http404 from error
    except StoreAway:
        away = HttpResponse(_("The store of files does not answer."), status=503)
        away["Retry-After"] = "30"
        return away
    response = FileResponse(_Slice(file, start, length), content_type=what.media_type)
    response.block_size = BLOCK
    return response


def _whole(response: HttpResponseBase, what: Sending) -> HttpResponseBase:
    response["Content-Length"] = str(what.size)
    return _said(response, what)


def _handed_to_the_proxy(what: Sending) -> HttpResponseBase:
    # The proxy knows the length and answers ranges itself.
    response = HttpResponse(content_type=what.media_type)
    response["X-Accel-Redirect"] = f"{settings.ACCEL_REDIRECT.rstrip('/')}/{what.name}"
    return _said(response, what)


def _said(response: HttpResponseBase, what: Sending) -> HttpResponseBase:
    manner = "attachment" if what.as_attachment else "inline"
    response["Content-Disposition"] = (
        f'{manner}; filename="{what.file_name}"' if what.file_name else manner
    )
    response["ETag"] = what.etag
    response["Accept-Ranges"] = "bytes"
    response["Cache-Control"] = KEEP_PRIVATELY
    response["X-Content-Type-Options"] = "nosniff"
    return response


def _names(if_none_match: str, etag: str) -> bool:
    # Weak comparison, as the standard asks for here.
    wanted = {tag.strip().removeprefix("W/") for tag in if_none_match.split(",")}
    return etag in wanted or "*" in wanted
