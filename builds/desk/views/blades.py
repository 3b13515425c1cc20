"""Blades: a new one, the page of each, what is counted, tried and said of it."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

from django.db import transaction
from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.desk.queries.blades import BladePage, blade_page, blades_in_stores
from builds.hilts.actions import Refused
from builds.hilts.actions import blades as actions
from builds.hilts.forms.blades import ChangeBladeForm, CountForm, GoneForm, NewBladeForm, TryForm
from builds.hilts.models import Blade
from builds.progress.actions import Refused as NotTied
from builds.progress.actions import tie_blade
from builds.progress.models import Build
from builds.progress.queries import builds
from shop.clock import now
from shop.people.models import Customer
from shop.web.access import staff
from shop.web.partials import done, page

Deed = Callable[[dict[str, Any]], object]


def _unit(request: HttpRequest) -> str:
    return str(request.house.length_unit)  # type: ignore[attr-defined]


def _here(pk: int) -> str:
    return reverse("desk_blade", args=[pk])


def _whose(request: HttpRequest) -> tuple[Customer | None, Build | None]:
    """For whom a blade is written down: of a customer, or of a build, which it is tied to."""
    asked = {**request.GET.dict(), **request.POST.dict()}
    number, customer = str(asked.get("build", "")), str(asked.get("customer", ""))
    if number.isdecimal():
        build = get_object_or_404(builds(), number=int(number[:9]))
        return build.item.order.customer, build
    if not customer:
        return None, None
    pk = int(customer[:9]) if customer.isdecimal() else 0
    return get_object_or_404(Customer, pk=pk), None


@require_http_methods(["GET", "HEAD", "POST"])
def new(request: HttpRequest) -> HttpResponse:
    """Write a blade down; from a build's page it is tied to that build."""
    customer, build = _whose(request)
    shown: dict[str, Any] = {"room": "orders", "here": "customers"}
    if customer is None:
        return page(request, "desk/blade_new.html", shown)
    data = request.POST if request.method == "POST" else None
    form = NewBladeForm(
        data, initial={"token": uuid4()}, unit=_unit(request), parts=blades_in_stores()
    )
    if form.is_valid():
        try:
            made = _write(request, customer, build, form.cleaned_data)
        except (Refused, NotTied) as error:
            form.add_error(None, str(error))
        else:
            said = _("%s is written down. Count its pixels when it is in your hand.") % made.name
            return done(request, _here(made.pk), said)
    shown |= {"customer": customer, "build": build, "form": form}
    return page(request, "desk/blade_new.html", shown, status=200 if data is None else 422)


def _write(
    request: HttpRequest, customer: Customer, build: Build | None, values: dict[str, Any]
) -> Blade:
    by, moment = staff(request), now()
    with transaction.atomic():  # a blade that cannot go with its build is not written down
        made = actions.add_blade(customer, values, token=values["token"], by=by, now=moment)
        if build and build.blade_id != made.pk:
            tie_blade(build.pk, made, seen=_seen(request), by=by, now=moment)
    return made


def _seen(request: HttpRequest) -> int | None:
    """The blade that the page showed on the build, None where it had none."""
    text = request.POST.get("seen", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 else None


@require_safe
def blade(request: HttpRequest, pk: int) -> HttpResponse:
    """What is known of a blade."""
    return _show(request, pk)


def _show(
    request: HttpRequest, pk: int, bound: dict[str, BaseForm] | None = None, status: int = 200
) -> HttpResponse:
    found = blade_page(pk, _unit(request))
    if found is None:
        raise Http404
    context = {
        "room": "orders", "here": "customers", "page": found, "blade": found.blade,
        **_fresh(request, found), **(bound or {}),
    }  # fmt: skip
    return page(request, "desk/blade.html", context, status=status)


def _fresh(request: HttpRequest, found: BladePage) -> dict[str, BaseForm]:
    blade, seen = found.blade, {"seen": actions.seen_blade(found.blade)}
    known = {name: getattr(blade, name) for name in actions.FIELDS}
    known |= {"diameter_mm": found.diameter, "length_mm": found.length}
    return {
        "change": ChangeBladeForm(
            initial={**known, **seen}, prefix="change", unit=_unit(request),
            parts=blades_in_stores(blade.part_id),
        ),
        "count": CountForm(initial={**seen, "pixels": blade.pixels}, prefix="count"),
        "try": TryForm(
            initial={**seen, "hilt": blade.tried_in_id}, prefix="try", hilts=found.hilts
        ),
        "gone": GoneForm(initial=seen, prefix="gone"),
    }  # fmt: skip


def _save(
    request: HttpRequest, pk: int, name: str, form: BaseForm, deed: Deed, said: str
) -> HttpResponse:
    if form.is_valid():
        try:
            deed(form.cleaned_data)
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, _here(pk), said)
    return _show(request, pk, {name: form}, 422)


@require_POST
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what is written of it."""
    found = get_object_or_404(Blade, pk=pk)
    form = ChangeBladeForm(
        request.POST, prefix="change", unit=_unit(request), parts=blades_in_stores(found.part_id)
    )

    def deed(values: dict[str, Any]) -> None:
        actions.change_blade(pk, values, seen=values["seen"], by=staff(request), now=now())

    return _save(request, pk, "change", form, deed, _("Saved."))


@require_POST
def count(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep how many pixels were counted."""
    get_object_or_404(Blade, pk=pk)

    def deed(values: dict[str, Any]) -> None:
        actions.count_pixels(
            pk, values["pixels"], seen=values["seen"], by=staff(request), now=now()
        )

    form = CountForm(request.POST, prefix="count")
    return _save(request, pk, "count", form, deed, _("The count is kept."))


@require_POST
def tried(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep in which hilt it was tried."""
    found = blade_page(pk, _unit(request))
    if found is None:
        raise Http404
    hilts = {hilt.pk: hilt for hilt in found.hilts}

    def deed(values: dict[str, Any]) -> None:
        hilt = hilts[values["hilt"]]
        actions.try_blade(pk, hilt, seen=values["seen"], by=staff(request), now=now())

    form = TryForm(request.POST, prefix="try", hilts=found.hilts)
    return _save(request, pk, "try", form, deed, _("Kept: tried in it."))


@require_POST
def gone(request: HttpRequest, pk: int) -> HttpResponse:
    """Say that it is gone, and why."""
    get_object_or_404(Blade, pk=pk)

    def deed(values: dict[str, Any]) -> None:
        actions.end_blade(pk, values["because"], seen=values["seen"], by=staff(request), now=now())

    form = GoneForm(request.POST, prefix="gone")
    return _save(request, pk, "gone", form, deed, _("Kept; what it was stays told."))


@require_POST
def back(request: HttpRequest, pk: int) -> HttpResponse:
    """It is there after all."""
    get_object_or_404(Blade, pk=pk)
    actions.bring_blade_back(pk, by=staff(request), now=now())
    return done(request, _here(pk), _("It is there again."))
