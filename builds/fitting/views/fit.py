"""The fit page: does everything go in; where parts sit; what would fit instead."""

from collections.abc import Mapping, Sequence

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from builds.fitting.actions import Refused
from builds.fitting.actions.parts import swap as swap_part
from builds.fitting.actions.placing import place_all, put_behind
from builds.fitting.forms.fit import BehindForm, PlaceForm, SwapForm
from builds.fitting.forms.power import DecideForm
from builds.fitting.models import BuildPart
from builds.fitting.queries.fit_page import FitPage, Place, fit_page
from builds.fitting.queries.frozen import frozen
from builds.fitting.queries.listed import parts_of
from builds.fitting.refusals import NotPlaced
from builds.fitting.views.deciding import asked, decided
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
    request: HttpRequest,
    build: Build,
    typed: Mapping[int, PlaceForm] | None = None,
    bound: DecideForm | None = None,
    status: int = 200,
) -> HttpResponse:
    shown = fit_page(build, request.house.length_unit)  # type: ignore[attr-defined]
    to_decide, stray = asked(shown.to_decide, bound)
    moving, typed = request.GET.get("move", ""), typed or {}
    places = [
        (each, (typed.get(each.row.pk) or _fresh(shown, each, moving)) if build.is_open else None)
        for each in shown.places
    ]
    context = {
        "room": "bench",
        "build": build,
        "fit": shown,
        "frozen": frozen(shown.plan, shown.unit),
        "places": places,
        "forms": sum(form is not None for _place, form in places),
        "decide": to_decide,
        "moves": shown.moves,
        "stray": stray,
        "is_measured": not any(not each.bore.is_sure for each in shown.rows if each.bore),
    }
    return page(request, "fitting/fit.html", context, status=status)


def _fresh(shown: FitPage, each: Place, moving: str) -> PlaceForm | None:
    """A form for what sits nowhere yet, and for the one that is to be moved."""
    if each.is_placed and moving != str(each.row.pk):
        return None
    return PlaceForm(
        sections=shown.sections, others=each.on, initial=_now_at(each.row),
        prefix=_prefix(each.row.pk), row=each.row, unit=shown.unit,
    )  # fmt: skip


def _now_at(row: BuildPart) -> dict[str, object]:
    return {
        "section": row.section_id,
        "position": row.position,
        "lies_on": row.lies_on_id,
        "starts_mm": row.starts_mm,
    }


def _prefix(part_id: int) -> str:
    return f"part-{part_id}"


@require_POST
def place(request: HttpRequest, number: int) -> HttpResponse:
    """Say where parts sit: all that were filled in, or none."""
    build = _build(number)
    forms = _typed(request, build)
    if not all(form.is_valid() for form in forms.values()):
        return _show(request, build, forms, status=422)
    said = [form.placing for form in forms.values() if form.has_changed()]
    if not said:
        return refused(request, _here(build), _("Choose where a part sits, then tap again."))
    try:
        placed = place_all(said, by=staff(request), now=now())
    except NotPlaced as error:
        for part_id, sentence in error.wrong.items():
            forms[part_id].add_error(None, sentence)
        return _show(request, build, forms, status=422)
    return done(request, _here(build), _placed_words(placed))


def _typed(request: HttpRequest, build: Build) -> dict[int, PlaceForm]:
    """The rows that were sent, each as a form."""
    rows = list(parts_of([build.pk]))
    sections = list(build.hilt.sections.filter(ended_at=None)) if build.hilt else []
    return {
        row.pk: PlaceForm(
            request.POST, sections=sections, others=[each for each in rows if each is not row],
            initial=_now_at(row), prefix=_prefix(row.pk), row=row, unit=request.house.length_unit,  # type: ignore[attr-defined]
        )
        for row in rows
        if f"{_prefix(row.pk)}-section" in request.POST
    }  # fmt: skip


def _placed_words(placed: Sequence[BuildPart]) -> str:
    if len(placed) == 1:
        said = _("%(part)s sits in the %(section)s.")
        return said % {"part": placed[0].name, "section": placed[0].section}
    return ngettext("%d part is placed.", "%d parts are placed.", len(placed)) % len(placed)


@require_POST
def behind(request: HttpRequest, number: int, part_id: int) -> HttpResponse:
    """Let a part begin behind another that reaches down to it."""
    build = _build(number)
    row = get_object_or_404(BuildPart, pk=part_id, build=build)
    form = BehindForm(request.POST)
    if not form.is_valid():
        return refused(request, _here(build), _("This page is out of date. Look again."))
    try:
        put = put_behind(row, form.cleaned_data["starts_mm"], by=staff(request), now=now())
    except Refused as error:
        return refused(request, _here(build), str(error))
    return done(request, _here(build), _("%s begins farther back now.") % put.name)


@require_POST
def decide(request: HttpRequest, number: int) -> HttpResponse:
    """Accept what the fit found, with the reason."""
    build = _build(number)
    return decided(
        request, build, f"{_here(build)}#findings",
        lambda form: _show(request, build, bound=form, status=422),
    )  # fmt: skip


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
