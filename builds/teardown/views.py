"""The page on which a build is taken apart, with the cautions where the hand is."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.hilts.queries import shapes
from builds.hilts.states import MeasuredThing
from builds.progress.models import Build
from builds.progress.queries import builds
from builds.teardown import actions
from builds.teardown.forms import DepthForm, OutForm, StepForm, TryForm
from builds.teardown.queries import ApartPage, apart_page
from builds.teardown.refusals import Refused
from shop.clock import now
from shop.stores.units import shown as shown_length
from shop.web.access import staff
from shop.web.partials import done, page, refused

Deed = Callable[[dict[str, Any]], object]


def build_of(number: int) -> Build:
    """The build of a number, on a hilt, or 404."""
    found = get_object_or_404(builds(), number=number)
    if found.hilt is None:
        raise Http404
    return found


def show(
    request: HttpRequest, build: Build, bound: dict[str, BaseForm] | None = None, status: int = 200
) -> HttpResponse:
    """The page, with the form that came back bound in place of its fresh one."""
    shown, unit = apart_page(build), request.house.length_unit  # type: ignore[attr-defined]
    forms = bound or {}
    context = {
        "room": "bench",
        "build": build,
        "page": shown,
        "outs": [(row, uuid4()) for row in shown.outs],
        "groups": [(group, [(row, uuid4()) for row in rows]) for group, rows in shown.groups],
        "try": forms.get("try") or _try(shown),
        "depth": forms.get("depth") or DepthForm(unit=unit, initial={"token": uuid4()}),
        "least_depth": shown_length(shown.known.house.least_depth_mm, unit),
        "unit": unit,
    }
    return page(request, "teardown/apart.html", context, None, status)


def _try(shown: ApartPage, data: Any = None) -> TryForm:
    stuck = next((joint.pk for joint in shown.joints if joint.stuck), None)
    initial = {"joint": stuck, "token": uuid4()}
    is_wet = shown.known.is_wet
    return TryForm(data, joints=shown.joints, is_wet=is_wet, initial=initial)


def save(
    request: HttpRequest, build: Build, name: str, form: BaseForm, deed: Deed, said: str
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back with all that was typed."""
    to = reverse("teardown_apart", args=[build.number]) + f"#{name}"
    if form.is_valid():
        try:
            deed(form.cleaned_data)
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, to, said)
    found = build_of(build.number)
    if not _is_drawn(found, name):  # it moved on meanwhile, and the form with it
        return refused(request, to, " ".join(map(str, form.non_field_errors())))
    return show(request, found, {name: form}, 422)


def _is_drawn(build: Build, name: str) -> bool:
    shown = apart_page(build)
    if name == "try":
        return shown.tries_open and bool(shown.joints)
    return shown.steps_open or shown.outs_open


@require_safe
def apart(request: HttpRequest, number: int) -> HttpResponse:
    """How far one build is apart."""
    return show(request, build_of(number))


@require_POST
def out(request: HttpRequest, number: int) -> HttpResponse:
    """Tick the cell or the electronics out, or back in."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        actions.take_out(build.pk, **values, by=staff(request), now=now())

    return _ticked(request, build, OutForm(request.POST), deed, "out")


@require_POST
def step(request: HttpRequest, number: int, step_id: int) -> HttpResponse:
    """Tick a step of taking apart, or its way back."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> None:
        facts = {"is_off": values["is_out"], "is_dry": values["is_dry"], "token": values["token"]}
        actions.tick_step(build.pk, step_id, **facts, by=staff(request), now=now())

    return _ticked(request, build, StepForm(request.POST), deed, "steps")


@require_POST
def attempt(request: HttpRequest, number: int) -> HttpResponse:
    """Write down an attempt on a stuck joint."""
    build = build_of(number)
    form = _try(apart_page(build), request.POST)

    def deed(values: dict[str, Any]) -> None:
        joint, token = values["joint"], values["token"]
        by = staff(request)
        actions.try_joint(build.pk, joint, form.tried, token=token, by=by, now=now())

    return save(request, build, "try", form, deed, _("The attempt is kept."))


@require_POST
def depth(request: HttpRequest, number: int) -> HttpResponse:
    """Write down how deep a stub tube went in."""
    build = build_of(number)
    unit = request.house.length_unit  # type: ignore[attr-defined]
    form = DepthForm(request.POST, unit=unit, socket_mm=_socket_mm(build))

    def deed(values: dict[str, Any]) -> None:
        depth_mm, typed = values["depth"]
        token, by = values["token"], staff(request)
        actions.try_depth(build.pk, depth_mm, typed, token=token, by=by, now=now())

    return save(request, build, "depth", form, deed, _("The depth is kept."))


def _socket_mm(build: Build) -> float | None:
    """How deep the blade's socket was measured, None where nobody measured it."""
    if build.hilt is None:
        return None
    socket = shapes([build.hilt])[build.hilt.pk].socket
    known = socket.known.get(MeasuredThing.SOCKET_DEPTH) if socket else None
    return known.value if known and known.is_measured else None


def _ticked(
    request: HttpRequest, build: Build, form: BaseForm, deed: Deed, part: str
) -> HttpResponse:
    to = reverse("teardown_apart", args=[build.number]) + f"#{part}"
    if not form.is_valid():
        return refused(request, to, _("This page is out of date. Look at it anew."))
    try:
        deed(form.cleaned_data)
    except Refused as error:
        return refused(request, to, str(error))
    return done(request, to)
