"""The power page: whether the cell carries every slot, for how long, and what stops it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from builds.fitting.forms.power import DecideForm, SeriesForm
from builds.fitting.loads.judged import SERIES
from builds.fitting.queries.findings import findings_of
from builds.fitting.queries.frozen import frozen
from builds.fitting.queries.power_advice import advice_on
from builds.fitting.queries.power_page import power_page
from builds.fitting.views.deciding import asked, decided
from builds.progress.models import Build
from builds.progress.queries import builds
from shop.web.partials import page

USUAL = SERIES[1]


@require_safe
def power(request: HttpRequest, number: int) -> HttpResponse:
    """The power of one build."""
    return _show(request, get_object_or_404(builds(), number=number))


@require_POST
def decide(request: HttpRequest, number: int) -> HttpResponse:
    """Accept what was found, with the reason."""
    build = get_object_or_404(builds(), number=number)
    here = reverse("fitting_power", args=[number])
    return decided(request, build, here, lambda form: _show(request, build, form, 422))


def _show(
    request: HttpRequest, build: Build, bound: DecideForm | None = None, status: int = 200
) -> HttpResponse:
    wanted = SeriesForm(request.GET)
    series = wanted.cleaned_data["series"] if wanted.is_valid() else USUAL
    shop = request.house  # type: ignore[attr-defined]
    found = findings_of([build], shop, series)[build.pk]
    to_decide, stray = asked(found.to_decide, bound)
    context = {
        "room": "bench",
        "build": build,
        "found": found,
        "fit_stops": found.stops_of_fit,
        "frozen": frozen(found.plan, shop.length_unit),
        "shown": power_page(found, shop.length_unit),
        "advice": advice_on(found.judged),
        "decide": to_decide,
        "stray": stray,
        "series": series,
        "all_series": SERIES,
    }
    return page(request, "fitting/power.html", context, {}, status)
