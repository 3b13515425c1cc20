"""The parts list of a build: what is planned, reserved, fitted, and what is put on it."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django import forms as django_forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.fitting.actions.kits import kit_of_build, plan_kit
from builds.fitting.actions.parts import plan_own, plan_part
from builds.fitting.actions.plan import choose_chassis
from builds.fitting.forms import parts as forms
from builds.fitting.forms.fields import TokenForm
from builds.fitting.queries.parts_page import parts_page
from builds.fitting.views.deeds import REFUSALS, build_of
from builds.progress.models import Build
from shop.clock import now
from shop.stores.forms.choosing import ChooseForm
from shop.stores.queries.choosing import choices
from shop.web.access import staff
from shop.web.partials import done, page, refused

PARTS = {"parts-list": "fitting/parts/_list.html", "choices": "fitting/parts/_choices.html"}


def show(
    request: HttpRequest,
    build: Build,
    bound: dict[str, django_forms.Form] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The list, with the forms that came back bound in place of fresh ones."""
    shown, unit = parts_page(build), request.house.length_unit  # type: ignore[attr-defined]
    choose = ChooseForm(request.GET or None)
    wanted = choose.cleaned_data if choose.is_bound and choose.is_valid() else {}
    fresh = {
        "scan": forms.ScanForm(initial={"token": uuid4()}),
        "chassis": forms.ChassisForm(
            initial={"chassis": shown.plan.chassis if shown.plan else ""}, prefix="plan"
        ),
        "make_kit": forms.MakeKitForm(initial={"token": uuid4()}, prefix="make"),
    }
    context = {
        "room": "bench",
        "build": build,
        "sheet": shown,
        "choose": choose,
        "choices": choices(wanted.get("kind", ""), wanted.get("begins", ""), unit),
        "has_looked": any(wanted.values()),
        "forms": {**fresh, **(bound or {})},
        "kit_token": uuid4(),
        "scans": "scan" in request.GET,
    }
    return page(request, "fitting/parts.html", context, PARTS, status)


def here(build: Build) -> str:
    """Where the list of a build is."""
    return reverse("fitting_parts", args=[build.number])


@require_safe
def parts(request: HttpRequest, number: int) -> HttpResponse:
    """The parts of one build."""
    return show(request, build_of(number))


def _save(
    request: HttpRequest,
    build: Build,
    name: str,
    form: django_forms.Form,
    deed: Callable[[dict[str, Any]], str],
    back: str = "",
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back beside the field."""
    if form.is_valid():
        try:
            said = deed(form.cleaned_data)
        except REFUSALS as error:
            form.add_error(None, str(error))
        else:
            return done(request, back or here(build), said)
    found = build_of(build.number)
    if not found.is_open:  # it ended meanwhile, and its forms are off the page
        return refused(request, here(build), " ".join(map(str, form.non_field_errors())))
    return show(request, found, {name: form}, 422)


@require_POST
def add(request: HttpRequest, number: int) -> HttpResponse:
    """Put so much of a part on the list."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> str:
        made = plan_part(
            build, values["part"], values["quantity"], section=None, token=values["token"],
            by=staff(request), now=now(),
        )  # fmt: skip
        return _("On the list: %s.") % made.name

    unit = request.house.length_unit  # type: ignore[attr-defined]
    return _save(request, build, "add", forms.AddForm(request.POST, unit=unit), deed)


@require_POST
def scan(request: HttpRequest, number: int) -> HttpResponse:
    """Put one of the part on the list whose label was scanned."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> str:
        part = values["label"]
        made = plan_part(
            build, part, 1 if part.counted == "piece" else 1000, section=None,
            token=values["token"], by=staff(request), now=now(),
        )  # fmt: skip
        return _("On the list: %s. Scan the next one.") % made.name

    return _save(
        request, build, "scan", forms.ScanForm(request.POST), deed, here(build) + "?scan#scan"
    )


@require_POST
def use_kit(request: HttpRequest, number: int) -> HttpResponse:
    """Put every part of a kit on the list."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> str:
        made = plan_kit(build, values["kit"], token=values["token"], by=staff(request), now=now())
        return _("%(kit)s: %(n)d parts on the list.") % {"kit": values["kit"], "n": len(made)}

    return _save(request, build, "kit", forms.KitForm(request.POST), deed)


@require_POST
def make_kit(request: HttpRequest, number: int) -> HttpResponse:
    """Make a kit of what stands on the list."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> str:
        kit = kit_of_build(
            build, values["name"], token=values["token"], by=staff(request), now=now()
        )
        return _("The kit %s is made.") % kit

    return _save(request, build, "make_kit", forms.MakeKitForm(request.POST, prefix="make"), deed)


@require_POST
def chassis(request: HttpRequest, number: int) -> HttpResponse:
    """Say whether the chassis comes out again."""
    build = build_of(number)

    def deed(values: dict[str, Any]) -> str:
        choose_chassis(build, values["chassis"], by=staff(request), now=now())
        return _("The chassis is noted.")

    return _save(request, build, "chassis", forms.ChassisForm(request.POST, prefix="plan"), deed)


def own(request: HttpRequest, number: int) -> HttpResponse:
    """Put a customer's own part on the list: first which thing and which kind, then its figures."""
    build = build_of(number)
    unit = request.house.length_unit  # type: ignore[attr-defined]
    posted = TokenForm(request.POST, prefix="own")
    just_now = str(posted.cleaned_data["token"]) if posted.is_valid() else ""
    whose = forms.WhoseForm(request.GET or None, build=build, just_now=just_now)
    chosen = whose.cleaned_data if whose.is_bound and whose.is_valid() else None
    form = None
    if chosen:
        data = request.POST if request.method == "POST" else None
        form = forms.OwnForm(
            data, kind=chosen["kind"], unit=unit, initial={"token": uuid4()}, prefix="own"
        )
    if form and chosen and form.is_bound and form.is_valid():
        answer = _plan_own(request, build, chosen, form)
        if answer:
            return answer
    context = {
        "room": "bench", "build": build, "whose": whose, "form": form, "chosen": chosen,
    }  # fmt: skip
    wrong = request.method == "POST"
    return page(request, "fitting/own.html", context, status=422 if wrong else 200)


def _plan_own(
    request: HttpRequest, build: Build, chosen: dict[str, Any], form: forms.OwnForm
) -> HttpResponse | None:
    try:
        made = plan_own(
            build, chosen["belonging"], chosen["kind"], form.spec(), section=None,
            token=form.cleaned_data["token"], by=staff(request), now=now(),
        )  # fmt: skip
    except REFUSALS as error:
        form.add_error(None, str(error))
        return None
    return done(request, here(build), _("On the list: %s.") % made.name)
