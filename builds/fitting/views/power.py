"""The power page: whether the cell carries every slot, for how long, and what stops it."""

from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.fitting import actions
from builds.fitting.actions.decide import decide as keep_decision
from builds.fitting.forms.power import DecideForm, SeriesForm
from builds.fitting.loads.judged import SERIES
from builds.fitting.queries.findings import Said, findings_of
from builds.fitting.queries.frozen import frozen
from builds.fitting.queries.power_advice import advice_on
from builds.fitting.queries.power_page import power_page
from builds.progress.models import Build
from builds.progress.queries import builds
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, page, refused

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
    form = DecideForm(request.POST)
    if form.is_valid():
        values = form.cleaned_data
        try:
            keep_decision(
                build.pk, values["key"], values["words"], token=values["token"],
                by=staff(request), now=now(),
            )  # fmt: skip
        except actions.Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, here, _("The decision is kept."))
    if not build.is_open:
        return refused(request, here, " ".join(map(str, form.non_field_errors())))
    return _show(request, build, form, 422)


def _show(
    request: HttpRequest, build: Build, bound: DecideForm | None = None, status: int = 200
) -> HttpResponse:
    wanted = SeriesForm(request.GET)
    series = wanted.cleaned_data["series"] if wanted.is_valid() else USUAL
    shop = request.house  # type: ignore[attr-defined]
    found = findings_of([build], shop, series)[build.pk]
    context = {
        "room": "bench",
        "build": build,
        "found": found,
        "fit_stops": found.stops_of_fit,
        "frozen": frozen(found.plan, shop.length_unit),
        "shown": power_page(found, shop.length_unit),
        "advice": advice_on(found.judged),
        "decide": [(said, _form(said, bound)) for said in found.to_decide],
        "stray": bound if bound and not _is_asked(bound, found.to_decide) else None,
        "series": series,
        "all_series": SERIES,
    }
    return page(request, "fitting/power.html", context, {}, status)


def _is_asked(bound: DecideForm, asked: list[Said]) -> bool:
    return bound["key"].value() in {said.key for said in asked}


def _form(said: Said, bound: DecideForm | None) -> Any:
    if bound and bound["key"].value() == said.key:
        return bound
    auto_id = f"decide-{said.key}-%s".replace(" ", "-").replace(":", "-")
    return DecideForm(initial={"key": said.key, "token": uuid4()}, auto_id=auto_id)
