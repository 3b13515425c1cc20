"""The wiring list of a build: what is cut how long, proposed, written down, ticked."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from builds.fitting.actions import wires as actions
from builds.fitting.forms.fields import TokenForm
from builds.fitting.forms.wires import NewWireForm, WireForm, typed
from builds.fitting.models import WireRun
from builds.fitting.queries.wiring import wiring
from builds.fitting.views.deeds import REFUSALS, build_of, do
from builds.progress.models import Build
from shop.clock import now
from shop.stores.actions import Short
from shop.stores.forms.choosing import length_typed
from shop.web.access import staff
from shop.web.partials import done, page, refused

PARTS = {"wires-list": "fitting/wires/_list.html"}
SPARE_MM = 20  # both ends together; common practice, no source


def here(build: Build) -> str:
    """Where the wiring list of a build is."""
    return reverse("fitting_wires", args=[build.number])


def _unit(request: HttpRequest) -> str:
    return str(request.house.length_unit)  # type: ignore[attr-defined]


def show(
    request: HttpRequest, build: Build, form: NewWireForm | None = None, status: int = 200
) -> HttpResponse:
    """The list, with the form of a new wire."""
    unit = _unit(request)
    fresh = {"token": uuid4(), "parallel": 1, "spare": length_typed(SPARE_MM, unit)}
    context = {
        "room": "bench",
        "build": build,
        "sheet": wiring(build, unit),
        "short": request.GET.get("short", ""),
        "form": form or NewWireForm(initial=fresh, unit=unit),
        "usual_token": uuid4(),
    }
    return page(request, "fitting/wires.html", context, PARTS, status)


@require_safe
def wires(request: HttpRequest, number: int) -> HttpResponse:
    """The wires of one build."""
    return show(request, build_of(number))


def _try(form: WireForm, deed: Callable[[], object]) -> bool:
    """Do a deed with what was typed; what is refused stands beside the fields."""
    try:
        deed()
    except REFUSALS as error:
        form.add_error(None, str(error))
        return False
    return True


@require_POST
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Write down a wire."""
    build = build_of(number)
    form = NewWireForm(request.POST, unit=_unit(request))
    by, moment = staff(request), now()
    if form.is_valid() and _try(
        form,
        lambda: actions.list_wire(
            build, form.wire(), token=form.cleaned_data["token"], by=by, now=moment
        ),
    ):
        return done(request, here(build), _("On the list."))
    if not build.is_open:  # it ended meanwhile, and its forms are off the page
        return refused(request, here(build), _("This build has ended."))
    return show(request, build, form, 422)


@require_POST
def usual(request: HttpRequest, number: int) -> HttpResponse:
    """Put the usual wires on the list, their lengths as guesses."""
    build = build_of(number)
    form = TokenForm(request.POST)
    if not form.is_valid():
        return refused(request, here(build), str(form.errors["token"][0]))
    proposed = wiring(build, _unit(request)).usual.wires
    if not proposed:
        return done(request, here(build), _("There is nothing to propose that is not listed."))
    by, moment = staff(request), now()
    said = ngettext(
        "%d wire listed. Its length is a guess: measure, then mend it.",
        "%d wires listed. Their lengths are guesses: measure, then mend them.",
        len(proposed),
    )
    return do(
        request, here(build),
        lambda: actions.list_wires(
            build, proposed, token=form.cleaned_data["token"], by=by, now=moment
        ),
        said % len(proposed),
    )  # fmt: skip


def wire(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """One wire, to change."""
    build = build_of(number)
    run = get_object_or_404(build.wires.select_related("part"), pk=pk)
    if run.ended_at:  # another tablet took it off meanwhile, and its page with it
        said = _("That wire is off the list already. Nothing was changed.")
        return refused(request, here(build), said)
    unit = _unit(request)
    data = request.POST if request.method == "POST" else None
    form = WireForm(data, initial=typed(run, unit), unit=unit)
    by, moment = staff(request), now()
    if (
        form.is_bound
        and form.is_valid()
        and _try(form, lambda: actions.change_wire(run, form.wire(), by=by, now=moment))
    ):
        return done(request, here(build), _("The wire is kept."))
    context: dict[str, Any] = {"room": "bench", "build": build, "run": run, "form": form}
    return page(request, "fitting/wire.html", context, status=422 if form.is_bound else 200)


@require_POST
def cut(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Tick a wire as cut, or take the tick back."""
    build = build_of(number)
    run = get_object_or_404(WireRun, pk=pk, build=build)
    form = TokenForm(request.POST)
    if not form.is_valid():
        return refused(request, here(build), str(form.errors["token"][0]))
    deed = actions.uncut_wire if "not_cut" in request.POST else actions.cut_wire
    try:
        deed(run, token=form.cleaned_data["token"], by=staff(request), now=now())
    except Short as error:  # the list comes back with a way to what is lacking
        return refused(request, f"{here(build)}?short={run.pk}", str(error))
    except REFUSALS as error:
        return refused(request, here(build), str(error))
    return done(request, here(build))


@require_POST
def off(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Take a wire off the list."""
    build = build_of(number)
    run = get_object_or_404(WireRun, pk=pk, build=build)
    by, moment = staff(request), now()
    return do(
        request, here(build), lambda: actions.drop_wire(run, by=by, now=moment), _("Off the list.")
    )
