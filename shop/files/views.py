"""Photos for signed-in staff. The customer's way to theirs is a view of another room."""

from django.http import Http404, HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from shop.files import queries
from shop.files.models import Blob


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
