"""A sheet is chosen, read and matched."""

from typing import Any
from uuid import uuid4

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.importing.actions import Overtaken, begun
from builds.importing.columns import example, groups
from builds.importing.forms.matching import MatchingForm
from builds.importing.forms.reading import ReadingForm
from builds.importing.forms.upload import UploadForm, bytes_of
from builds.importing.models import Import
from builds.importing.queries.found import imports
from builds.importing.queries.pages import Top, top_of, unused
from builds.importing.sheets import NotReadable
from builds.importing.states import AT_ONCE, OPEN, Kind, State
from shop.clock import now
from shop.web.access import owner_only, staff
from shop.web.paging import cut
from shop.web.partials import done, page, refused

HERE: dict[str, Any] = {"room": "settings", "here": "importing_start"}
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def to(one: Import) -> str:
    """The page of an import: where it is matched, or where it stands."""
    name = "importing_match" if one.state == State.MATCHING else "importing_one"
    return reverse(name, args=[one.pk])


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def start(request: HttpRequest) -> HttpResponse:
    """What was brought in, and the form for the next sheet."""
    if request.method != "POST":
        kind = request.GET.get("kind", "")
        return _start(request, UploadForm(initial={"token": uuid4(), "kind": kind}))
    form = UploadForm(request.POST, request.FILES)
    if form.is_valid():
        given = form.cleaned_data
        try:
            one = begun.begin(
                bytes_of(given["file"]),
                given["file"].name,
                given["kind"],
                token=given["token"],
                by=staff(request),
                now=now(),
            )
        except NotReadable as error:
            form.refuse(error)
        else:
            return done(request, to(one))
    return _start(request, form, status=422)


def _start(request: HttpRequest, form: UploadForm, status: int = 200) -> HttpResponse:
    listed = cut(request, imports())
    kinds = [(kind.value, kind.label, groups(kind), f"{AT_ONCE[kind]:,}") for kind in Kind]
    shown = {"form": form, "page_obj": listed, "kinds": kinds}
    return page(request, "importing/start.html", HERE | shown, status=status)


@owner_only
@require_safe
def example_sheet(_request: HttpRequest, kind: str) -> HttpResponse:
    """An example of a kind, to be filled in."""
    if kind not in Kind.values:
        raise Http404
    answer = HttpResponse(example(kind), content_type=XLSX)
    answer["Content-Disposition"] = f'attachment; filename="{kind}.xlsx"'
    return answer


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def match(request: HttpRequest, pk: int) -> HttpResponse:
    """Which column is which."""
    one = get_object_or_404(Import, pk=pk)
    if one.state not in OPEN or one.is_at_work:
        return refused(request, to(one), _("Its columns are matched already."))
    try:
        top = top_of(one)
    except NotReadable as error:
        return _match(request, one, Top([], []), None, str(error))
    if request.method != "POST":
        return _match(request, one, top, MatchingForm(one=one, samples=top.samples))
    form = MatchingForm(request.POST, one=one, samples=top.samples)
    if not form.is_valid():
        return _match(request, one, top, form, status=422)
    try:
        seen = form.cleaned_data["seen"]
        begun.match(one.pk, form.mapping(), form.choices(), seen=seen, now=now())
    except Overtaken as error:
        return refused(request, reverse("importing_one", args=[pk]), str(error))
    return done(request, reverse("importing_one", args=[pk]))


def _match(
    request: HttpRequest,
    one: Import,
    top: Top,
    form: MatchingForm | None,
    problem: str = "",
    status: int = 200,
) -> HttpResponse:
    shown = {
        "one": one,
        "form": form,
        "reading": ReadingForm(one=one),
        "top": top,
        "unused": unused(one, top.samples),
        "problem": problem or one.problem,
    }
    return page(request, "importing/match.html", HERE | shown, status=status)


@owner_only
@require_POST
def reading(request: HttpRequest, pk: int) -> HttpResponse:
    """Read the file another way."""
    one = get_object_or_404(Import, pk=pk)
    form = ReadingForm(request.POST, one=one)
    if not form.is_valid():
        return refused(request, to(one), " ".join(str(e[0]) for e in form.errors.values()))
    try:
        one = begun.read_another_way(pk, form.reading(), seen=form.cleaned_data["seen"], now=now())
    except (NotReadable, Overtaken) as error:
        return refused(request, to(one), str(error))
    return done(request, to(one))
