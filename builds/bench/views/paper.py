"""The dispatch day to keep open or to print, for where there is no signal."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from builds.bench.queries.paper import slips
from builds.bench.views.dispatch import chosen_day
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.partials import page


@require_safe
def paper(request: HttpRequest) -> HttpResponse:
    """Addresses, trays, cautions, and a packing slip a parcel; nothing is fetched later."""
    moment = now()
    diary = calendar(request.house)  # type: ignore[attr-defined]
    chosen = chosen_day(request.GET, diary, moment)
    found = slips(chosen, diary, moment)
    context = {"room": "dispatch", "day": chosen, "slips": found, "moment": moment}
    return page(request, "bench/paper.html", context)
