"""One part of a build: reserved, fitted, placed, swapped, taken off, found dead."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django import forms as django_forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.fitting.actions import parts as actions
from builds.fitting.actions.dead import mark_dead
from builds.fitting.actions.taking_off import take_off
from builds.fitting.actions.waiting import wait_for
from builds.fitting.forms import parts as forms
from builds.fitting.forms.fields import TokenForm
from builds.fitting.models import BuildPart
from builds.fitting.queries.listed import parts_of
from builds.fitting.queries.parts_page import line_of
from builds.fitting.views.deeds import REFUSALS, build_of, do
from builds.fitting.views.parts import here
from builds.progress.models import Build
from shop.clock import now
from shop.stores.queries.choosing import alike
from shop.web.access import staff
from shop.web.partials import done, page, refused


def part_of(build: Build, pk: int) -> BuildPart:
    """A part that is on the list of a build, or 404."""
    return get_object_or_404(parts_of([build.pk]), pk=pk)


def _there(build: Build, pk: int) -> str:
    return reverse("fitting_part", args=[build.number, pk])


def show(
    request: HttpRequest,
    build: Build,
    found: BuildPart,
    bound: dict[str, django_forms.Form] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The part, with the forms that came back bound in place of fresh ones."""
    placed = {
        "section": found.section_id, "position": found.position, "lies_on": found.lies_on_id,
        "starts_mm": found.starts_mm,
    }  # fmt: skip
    once, unit = {"token": uuid4()}, request.house.length_unit  # type: ignore[attr-defined]
    fresh = {
        "fit": forms.FitForm(initial={**once, "serial": found.serial}, prefix="fit"),
        "place": forms.PlaceForm(
            initial=placed, part=found, build=build, unit=unit, prefix="place"
        ),
        "dead": forms.DeadForm(initial={**once, **_sold(found)}, prefix="dead"),
        "off": forms.OffForm(initial={**once, "whole": found.quantity}, prefix="off"),
    }
    context = {
        "room": "bench",
        "build": build,
        "line": line_of(found),
        "forms": {**fresh, **(bound or {})},
        "others": alike(found.part, unit) if found.part else [],
    }
    return page(request, "fitting/part.html", context, status=status)


def _sold(found: BuildPart) -> dict[str, Any]:
    return {"many": 1, "supplier": found.part.supplier_id if found.part else None}


@require_safe
def part(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """One part of a build's list."""
    build = build_of(number)
    return show(request, build, part_of(build, pk))


def _save(
    request: HttpRequest,
    number: int,
    pk: int,
    name: str,
    form: Callable[[Build, BuildPart], django_forms.Form],
    deed: Callable[[BuildPart, dict[str, Any]], object],
    said: str,
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back beside the field."""
    build = build_of(number)
    found = get_object_or_404(BuildPart, pk=pk, build=build)
    filled = form(build, found)
    if filled.is_valid():
        try:
            deed(found, filled.cleaned_data)
        except REFUSALS as error:
            filled.add_error(None, str(error))
        else:
            return done(request, here(build), said)
    listed = parts_of([build.pk]).filter(pk=pk).first()
    if listed is None or not build.is_open:  # it is off the list meanwhile, and so is its page
        return refused(request, here(build), " ".join(map(str, filled.non_field_errors())))
    return show(request, build, listed, {name: filled}, 422)


@require_POST
def reserve(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Set a part aside in the stores."""
    build = build_of(number)
    found = get_object_or_404(BuildPart, pk=pk, build=build)
    form = TokenForm(request.POST)
    if not form.is_valid():
        return refused(request, here(build), str(form.errors["token"][0]))
    token = form.cleaned_data["token"]
    by, moment = staff(request), now()
    return do(
        request, here(build),
        lambda: actions.reserve_part(found, token=token, by=by, now=moment), _("Reserved."),
    )  # fmt: skip


@require_POST
def fit(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Say that a part is in the hilt."""
    by, moment = staff(request), now()

    def deed(found: BuildPart, values: dict[str, Any]) -> None:
        actions.fit_part(found, serial=values["serial"], token=values["token"], by=by, now=moment)

    form = forms.FitForm(request.POST, prefix="fit")
    return _save(request, number, pk, "fit", lambda _b, _p: form, deed, _("Fitted."))


@require_POST
def serial(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Write down the serial number of a part."""
    by, moment = staff(request), now()

    def deed(found: BuildPart, values: dict[str, Any]) -> None:
        actions.note_serial(found, values["serial"], by=by, now=moment)

    form = forms.FitForm(request.POST, prefix="fit")
    return _save(request, number, pk, "fit", lambda _b, _p: form, deed, _("The number is kept."))


@require_POST
def place(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Say where a part sits."""
    by, moment = staff(request), now()

    def form(build: Build, found: BuildPart) -> forms.PlaceForm:
        unit = request.house.length_unit  # type: ignore[attr-defined]
        return forms.PlaceForm(request.POST, part=found, build=build, unit=unit, prefix="place")

    def deed(found: BuildPart, values: dict[str, Any]) -> None:
        actions.place(
            found,
            values["section"],
            values["position"],
            values["lies_on"],
            by=by,
            now=moment,
            starts_mm=values["starts_mm"],
        )

    return _save(request, number, pk, "place", form, deed, _("Its place is kept."))


@require_POST
def swap(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Put another part of the same kind in its place."""
    by, moment = staff(request), now()

    def deed(found: BuildPart, values: dict[str, Any]) -> None:
        actions.swap(found, values["part"], token=values["token"], by=by, now=moment)

    form = forms.SwapForm(request.POST)
    return _save(request, number, pk, "swap", lambda _b, _p: form, deed, _("Swapped."))


@require_POST
def off(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Take a part off the list, or out of the hilt."""
    by, moment = staff(request), now()

    def deed(found: BuildPart, values: dict[str, Any]) -> None:
        take_off(
            found, values["because"], whole=values["whole"], token=values["token"], by=by,
            now=moment,
        )  # fmt: skip

    form = forms.OffForm(request.POST, prefix="off")
    return _save(request, number, pk, "off", lambda _b, _p: form, deed, _("Off the list."))


@require_POST
def dead(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Claim for a dead part, and want another one in its place."""
    by, moment = staff(request), now()

    def deed(found: BuildPart, values: dict[str, Any]) -> None:
        mark_dead(found, by=by, now=moment, **values)

    form = forms.DeadForm(request.POST, prefix="dead")
    said = _("Claimed. Another one is wanted in its place.")
    return _save(request, number, pk, "dead", lambda _b, _p: form, deed, said)


@require_POST
def wait(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Put the build on hold for a part that the stores lack."""
    build = build_of(number)
    found = get_object_or_404(BuildPart, pk=pk, build=build)
    by, moment = staff(request), now()
    return do(
        request, here(build), lambda: wait_for(found, by=by, now=moment),
        _("On hold for it; the hold stands on the sheet."),
    )  # fmt: skip
