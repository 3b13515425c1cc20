"""Photos and large uploads for signed-in staff. The customer's way to theirs is another room's."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.http.request import UnreadablePostError
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods, require_safe

from shop.clock import now
from shop.files import pieces, queries
from shop.files.models import Blob, Upload
from shop.files.refusals import AnotherOffset, DiskFull, Refused, UploadEnded

_STATUS: dict[type[Refused], int] = {UploadEnded: 410, DiskFull: 507}


@require_safe
def rendition(request: HttpRequest, blob_id: int, side: int) -> HttpResponseBase:
    """A picture of a photo, without metadata."""
    return queries.send_rendition(request, _photo(blob_id), side)


@require_safe
def original(request: HttpRequest, blob_id: int) -> HttpResponseBase:
    """The photo as it came, to be saved."""
    return queries.send_original(request, _photo(blob_id))


def _photo(blob_id: int) -> Blob:
    """A photo. A document may hold sums, which are not for everybody."""
    blob = get_object_or_404(Blob, id=blob_id)
    if not queries.is_picture(blob):
        raise Http404
    return blob


@require_http_methods(["GET", "HEAD", "PATCH"])
def upload(request: HttpRequest, token: UUID) -> HttpResponse:
    """How far a large file is; with PATCH and ``Upload-Offset``, one more piece of it.

    The answer always names what is on the disk.
    """
    held = get_object_or_404(Upload, token=token)
    if request.method != "PATCH":
        return _looked(request, held)
    offset = request.headers.get("Upload-Offset", "")
    if not (offset.isascii() and offset.isdigit() and len(offset) < 18):
        return _so_far(held.received, 400)
    piece = _body(request)
    if piece is None:
        return _so_far(held.received, 413)
    try:
        return _so_far(pieces.take_piece(token, int(offset), piece, now()))
    except AnotherOffset as error:
        return _so_far(error.received, 409)
    except Refused as error:
        status = next((s for kind, s in _STATUS.items() if isinstance(error, kind)), 422)
        return _so_far(held.received, status, str(error))
    except OSError:
        # Whatever the disk did: nothing of this piece is promised.
        return _so_far(held.received, 503)


def _looked(request: HttpRequest, held: Upload) -> HttpResponse:
    # Signing in anew has made the sender's token of forms stale; it is asked for here then.
    facts = {"received": held.received, "csrf": get_token(request)}
    headers = {"Upload-Offset": str(held.received), "Cache-Control": "no-store"}
    return JsonResponse(facts, status=410 if held.ended_at else 200, headers=headers)


def _body(request: HttpRequest) -> bytes | None:
    """The raw body, past Django's own bound for forms; None where it is more than a piece.

    What broke off on its way is kept as far as it came: it is in order, from the offset on.
    """
    if int(request.META.get("CONTENT_LENGTH") or 0) > pieces.MOST_OF_PIECE:
        return None
    body = bytearray()
    try:
        while chunk := request.read(min(256 * 1024, pieces.MOST_OF_PIECE + 1 - len(body))):
            body += chunk
            if len(body) > pieces.MOST_OF_PIECE:
                return None
    except UnreadablePostError:
        pass
    return bytes(body)


def _so_far(received: int, status: int = 200, why: str = "") -> HttpResponse:
    said = {"received": received, **({"why": why} if why else {})}
    return JsonResponse(said, status=status, headers={"Upload-Offset": str(received)})
