"""The fit page: does everything go in; where parts sit; what would fit instead."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.fitting.actions import Refused
from builds.fitting.actions.parts import place as place_part
from builds.fitting.actions.parts import swap as swap_part
from builds.fitting.forms.fit import PlaceForm, SwapForm
from builds.fitting.models import BuildPart
from builds.fitting.queries.fit_page import FitPage, Place, fit_page
from builds.fitting.queries.frozen import frozen
from builds.progress.models import Build
from builds.progress.queries import builds
from shop.clock import now
from shop.stores import actions as stores
from shop.web.access import staff
from shop.web.partials import done, page, refused


def fit(request: HttpRequest, number: int) -> HttpResponse:
    """The hilt with its parts, drawn to scale, and what does not fit."""
    return _show(request, _build(number))


def _build(number: int) -> Build:
    build = get_object_or_404(builds(), number=number)
    if build.hilt is None:
        raise Http404
    return build


def _show(
    request: HttpRequest, build: Build, typed: PlaceForm | None = None, status: int = 200
) -> HttpResponse:
    shown = fit_page(build, request.house.length_unit)  # type: ignore[attr-defined]
    context = {
        "room": "bench",
        "build": build,
        "fit": shown,
        "frozen": frozen(shown.plan, shown.unit),
        "places": [
            (each, _form_of(shown, each, typed, request.GET.get("move", "")))
            for each in shown.places
        ],
        "is_measured": not any(not each.bore.is_sure for each in shown.rows if each.bore),
    }
    return page(request, "fitting/fit.html", context, status=status)


def _form_of(shown: FitPage, each: Place, typed: PlaceForm | None, moving: str) -> PlaceForm | None:
    """A form for what sits nowhere yet, and for the one that is to be moved."""
    if typed and typed.prefix == _prefix(each.row.pk):
        return typed
    if each.is_placed and moving != str(each.row.pk):
        return None
    said = {
        "section": each.row.section_id, "position": each.row.position,
        "lies_on": each.row.lies_on_id,
    }  # fmt: skip
    return PlaceForm(
        sections=shown.sections, others=each.on, initial=said, prefix=_prefix(each.row.pk)
    )


def _prefix(part_id: int) -> str:
    return f"part-{part_id}"


@require_POST
def place(request: HttpRequest, number: int, part_id: int) -> HttpResponse:
    """Say where a part sits."""
    build = _build(number)
    row = get_object_or_404(BuildPart, pk=part_id, build=build)
    sections = list(build.hilt.sections.filter(ended_at=None)) if build.hilt else []
    others = BuildPart.objects.filter(build=build, ended_at=None).exclude(pk=row.pk)
    form = PlaceForm(
        request.POST,
        sections=sections,
        others=list(others.select_related("part", "belonging")),
        prefix=_prefix(row.pk),
    )
    if not form.is_valid():
        return _show(request, build, form, 422)
    try:
        placed = place_part(row, *form.place, by=staff(request), now=now())
    except Refused as error:
        form.add_error(None, str(error))
        return _show(request, build, form, 422)
    said = _("%(part)s sits in the %(section)s.")
    return done(request, _here(build), said % {"part": placed.name, "section": placed.section})


@require_POST
def swap(request: HttpRequest, number: int, part_id: int) -> HttpResponse:
    """Put a part that fits in the place of one that does not."""
    build = _build(number)
    row = get_object_or_404(BuildPart, pk=part_id, build=build)
    form = SwapForm(request.POST)
    if not form.is_valid():
        return refused(request, _here(build), _("This page is out of date. Look again and choose."))
    part, token = form.cleaned_data["part"], form.cleaned_data["token"]
    try:
        new = swap_part(row, part, token=token, by=staff(request), now=now())
    except (Refused, stores.Refused) as error:
        return refused(request, _here(build), str(error))
    return done(request, _here(build), _("%s takes its place.") % new.name)


def _here(build: Build) -> str:
    return reverse("fitting_fit", args=[build.number])
