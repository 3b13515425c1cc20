"""A sheet on its way in: checked, brought in, taken back."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.importing.actions import Refused, begun, keeping, undoing
from builds.importing.forms.upload import CorrectedForm, bytes_of
from builds.importing.models import Import
from builds.importing.queries.found import findings, imports, same_file
from builds.importing.queries.obstacles import Obstacle
from builds.importing.queries.pages import findings_csv, rows_in_trouble, said, tabs
from builds.importing.sheets import NotReadable
from builds.importing.states import State
from builds.importing.views.begun import HERE, to
from shop.clock import now
from shop.web.access import owner_only, staff
from shop.web.paging import cut
from shop.web.partials import done, page, refused

MOST_OBSTACLES = 50


@owner_only
@require_safe
def one(request: HttpRequest, pk: int) -> HttpResponse:
    """Where an import stands; while the worker has it, the part asks again by itself."""
    return _one(request, get_object_or_404(imports(), pk=pk))


def _one(request: HttpRequest, one: Import, status: int = 200, **more: Any) -> HttpResponse:
    field = request.GET.get("field", "")
    rows = findings(one)
    if field:
        rows = rows.filter(field=field)
    listed = cut(request, rows)
    shown = {
        "one": one,
        "page_obj": listed,
        "said": said(one, list(listed.object_list)),
        "tabs": tabs(one),
        "field": field,
        "rows_in_trouble": rows_in_trouble(one),
        "earlier": same_file(one) if one.state == State.CHECKED else None,
        "corrected": CorrectedForm(initial={"seen": one.stamp}),
    }
    parts = {"import": "importing/_one.html"}
    return page(request, "importing/one.html", HERE | shown | more, parts, status=status)


@owner_only
@require_POST
def corrected(request: HttpRequest, pk: int) -> HttpResponse:
    """The same sheet, corrected in the owner's own program."""
    one = get_object_or_404(imports(), pk=pk)
    form = CorrectedForm(request.POST, request.FILES)
    if form.is_valid():
        upload, seen = form.cleaned_data["file"], form.cleaned_data["seen"]
        try:
            one = begun.take_corrected(
                pk, bytes_of(upload), upload.name, seen=seen, by=staff(request), now=now()
            )
            return done(request, to(one))
        except NotReadable as error:
            form.refuse(error)
        except Refused as error:
            return refused(request, to(one), str(error))
    return _one(request, one, status=422, corrected=form)


@owner_only
@require_safe
def problems(request: HttpRequest, pk: int) -> HttpResponse:
    """All that was found, as CSV."""
    one = get_object_or_404(Import, pk=pk)
    answer = HttpResponse(findings_csv(one), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="problems-{one.pk}.csv"'
    answer["Cache-Control"] = "private, no-store"
    return answer


@owner_only
@require_POST
def confirm(request: HttpRequest, pk: int) -> HttpResponse:
    """Bring it in."""
    one = get_object_or_404(Import, pk=pk)
    seen, again = request.POST.get("seen", ""), bool(request.POST.get("again"))
    try:
        one = keeping.confirm(pk, seen=seen, again=again, by=staff(request), now=now())
    except Refused as error:
        return refused(request, to(one), str(error))
    return done(request, reverse("importing_one", args=[pk]))


@owner_only
@require_POST
def take_back(request: HttpRequest, pk: int) -> HttpResponse:
    """Take it back, or say what stands in the way."""
    one = get_object_or_404(imports(), pk=pk)
    try:
        undoing.take_back(pk, by=staff(request), now=now())
    except undoing.InTheWay as error:
        shown: list[Obstacle] = error.found[:MOST_OBSTACLES]
        more = len(error.found) - len(shown)
        return _one(request, one, status=422, obstacles=shown, more_obstacles=more)
    except Refused as error:
        return refused(request, to(one), str(error))
    return done(request, reverse("importing_one", args=[pk]))


@owner_only
@require_POST
def drop(request: HttpRequest, pk: int) -> HttpResponse:
    """Give it up before anything was brought in."""
    one = get_object_or_404(Import, pk=pk)
    try:
        begun.drop(pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, to(one), str(error))
    return done(request, reverse("importing_start"), _("Given up; nothing was brought in."))
