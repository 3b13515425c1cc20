"""The page of promises kept."""

from datetime import date

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from builds.queue.queries import kept as queries
from shop.clock import day_in, now
from shop.web.dated import dated
from shop.web.partials import page

A_PAGE = 40
AT_ONCE = 12  # rows; the others are folded


@require_safe
def kept(request: HttpRequest) -> HttpResponse:
    """How promises were kept, how often they were changed, and whether odds say what they mean."""
    today = day_in(request.house.zone, now())  # type: ignore[attr-defined]
    months = queries.by_month(today)
    found = Paginator(queries.all_told(), A_PAGE).get_page(request.GET.get("page"))
    bins, told = queries.calibration(today), queries.told(list(found))
    context = {
        "room": "dates",
        "here": "kept",
        "months": months,
        "all": queries.in_all(months),
        "bars": queries.bars(months, today, {each.first: _in_words(each) for each in months}),
        "bins": bins,
        "counted": sum(each.promises for each in bins),
        "told": told[:AT_ONCE],
        "more": told[AT_ONCE:],
        "page_obj": found,
        "since": queries.first_month(today),
    }
    return page(request, "queue/kept.html", context)


def _in_words(month: queries.Month) -> str:
    return _("%(month)s: %(last)d of %(all)d by the day last told, %(first)d by the first") % {
        "month": _month(month.first),
        "last": month.counted.held_last,
        "first": month.counted.held_first,
        "all": month.counted.builds,
    }


def _month(day: date) -> str:
    return dated(day, "month and year")
