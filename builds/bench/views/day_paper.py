"""The dispatch day to take away: its list as PDF, its addresses as CSV."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from builds.bench.queries.day_paper import addresses_csv, list_pdf
from builds.bench.queries.dispatch import DispatchDay, dispatch_day
from builds.bench.views.dispatch import chosen_day
from builds.dispatch.queries.classing import Classing, as_the_gate_asks
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff


def _sheet(request: HttpRequest) -> tuple[DispatchDay, dict[int, Classing]]:
    """The day, and how each of its parcels is classed."""
    moment = now()
    diary = calendar(request.house)  # type: ignore[attr-defined]
    sheet = dispatch_day(chosen_day(request.GET, diary, moment), diary, moment)
    parcels = [card.parcel for card in sheet.packed]
    return sheet, as_the_gate_asks(parcels, diary)


@require_safe
def day_list(request: HttpRequest) -> HttpResponse:
    """The list of the day as PDF."""
    sheet, classes = _sheet(request)
    made = list_pdf(sheet.packed, classes, sheet.day, request.house)  # type: ignore[attr-defined]
    return _file(made, "application/pdf", f'inline; filename="dispatch-{sheet.day}.pdf"')


@require_safe
def addresses(request: HttpRequest) -> HttpResponse:
    """The addresses of the day as CSV; the declared values for the owner alone."""
    (sheet, classes), house = _sheet(request), request.house  # type: ignore[attr-defined]
    text = addresses_csv(sheet.packed, classes, house, values=staff(request).is_owner)
    name = f'attachment; filename="addresses-{sheet.day}.csv"'
    return _file(text.encode(), "text/csv; charset=utf-8", name)


def _file(content: bytes, kind: str, disposition: str) -> HttpResponse:
    answer = HttpResponse(content, content_type=kind)
    answer["Content-Disposition"] = disposition
    answer["Cache-Control"] = "private, no-store"
    return answer
