"""The paper that goes into a parcel."""

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from builds.dispatch.queries.slip_paper import prices_of, slip_pdf
from builds.dispatch.queries.slips import Slip, slips_of
from builds.dispatch.views.parcel import parcel_of
from shop.web.access import owner_only


@require_safe
def slip(request: HttpRequest, pk: int) -> HttpResponse:
    """The packing slip as PDF, without prices."""
    return _paper(slip_pdf(_slip(pk), request.house), pk)  # type: ignore[attr-defined]


@owner_only
@require_safe
def slip_with_prices(request: HttpRequest, pk: int) -> HttpResponse:
    """The packing slip as PDF, with prices."""
    found, house = _slip(pk), request.house  # type: ignore[attr-defined]
    return _paper(slip_pdf(found, house, prices=prices_of(found, house)), pk)


def _slip(pk: int) -> Slip:
    found = slips_of([parcel_of(pk)])
    if not found:
        raise Http404
    return found[0]


def _paper(made: bytes, pk: int) -> HttpResponse:
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="packing-slip-{pk}.pdf"'
    answer["Cache-Control"] = "private, no-store"
    return answer
