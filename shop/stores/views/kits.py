"""Kits: the list, and one of them with its parts and minutes."""

from collections.abc import Callable
from uuid import uuid4

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop import clock
from shop.stores.actions import Refused
from shop.stores.actions import kits as actions
from shop.stores.forms.choosing import ChooseForm, QuantityForm
from shop.stores.forms.kits import KitForm, MinutesForm, NewKitForm
from shop.stores.models import Kit, Part
from shop.stores.queries.choosing import choices
from shop.stores.queries.kits import hours, kit_rows, kit_sheet
from shop.web.access import staff
from shop.web.partials import done, page


@require_http_methods(["GET", "HEAD", "POST"])
def kits(request: HttpRequest) -> HttpResponse:
    """Every kit, and the form of a new one."""
    data = request.POST if request.method == "POST" else None
    form = NewKitForm(data, initial={"token": uuid4()})
    if form.is_valid():
        values = form.cleaned_data
        try:
            made = actions.add_kit(
                values["name"], values["note"], token=values["token"], by=staff(request),
                now=clock.now(),
            )  # fmt: skip
        except Refused as error:
            form.add_error("name", str(error))
        else:
            said = _("The kit is made. Put its parts in.")
            return done(request, reverse("stores_kit", args=[made.pk]), said)
    context = {
        "room": "stores",
        "here": "kits",
        "rows": [(row, hours(row.minutes)) for row in kit_rows()],
        "form": form,
    }
    return page(request, "stores/kits.html", context, status=422 if form.errors else 200)


def _show(request: HttpRequest, found: Kit, **bound: forms.Form) -> HttpResponse:
    sheet = kit_sheet(found)
    choose = ChooseForm(request.GET or None)
    wanted = choose.cleaned_data if choose.is_bound and choose.is_valid() else {}
    unit = request.house.length_unit  # type: ignore[attr-defined]
    fresh = {
        "words": KitForm(initial={"name": found.name, "note": found.note}),
        "minutes": MinutesForm(initial=sheet.minutes),
    }
    context = {
        "room": "stores",
        "here": "kits",
        "kit": found,
        "sheet": sheet,
        "hours": hours(sheet.in_all),
        "choose": choose,
        "choices": choices(wanted.get("kind", ""), wanted.get("begins", ""), unit),
        "has_looked": any(wanted.values()),
        "forms": {**fresh, **bound},
    }
    parts = {"choices": "stores/_kit_choices.html"}
    return page(request, "stores/kit.html", context, parts, status=422 if bound else 200)


@require_safe
def kit(request: HttpRequest, pk: int) -> HttpResponse:
    """One kit."""
    return _show(request, get_object_or_404(Kit, pk=pk))


def _save(
    request: HttpRequest, pk: int, name: str, form: forms.Form, deed: Callable[[], object]
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back beside the field."""
    found = get_object_or_404(Kit, pk=pk)
    if form.is_valid():
        try:
            deed()
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, reverse("stores_kit", args=[pk]), _("Kept."))
    return _show(request, found, **{name: form})


@require_POST
def put(request: HttpRequest, pk: int) -> HttpResponse:
    """Say how much of a part is in the kit."""
    form = QuantityForm(request.POST, unit=request.house.length_unit)  # type: ignore[attr-defined]

    def deed() -> None:
        values = form.cleaned_data
        actions.put_in_kit(
            pk, values["part"], values["quantity"], by=staff(request), now=clock.now()
        )

    return _save(request, pk, "put", form, deed)


@require_POST
def out(request: HttpRequest, pk: int, part_pk: int) -> HttpResponse:
    """Take a part out of the kit. Twice is once."""
    get_object_or_404(Kit, pk=pk)
    part = get_object_or_404(Part, pk=part_pk)
    actions.put_in_kit(pk, part, 0, by=staff(request), now=clock.now())
    said = _("%s is not in the kit any more.") % part
    return done(request, reverse("stores_kit", args=[pk]), said)


@require_POST
def words(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the kit another name or note."""
    form = KitForm(request.POST)

    def deed() -> None:
        values = form.cleaned_data
        actions.change_kit(pk, values["name"], values["note"], by=staff(request), now=clock.now())

    return _save(request, pk, "words", form, deed)


@require_POST
def minutes(request: HttpRequest, pk: int) -> HttpResponse:
    """Say how long the kit takes at each stage."""
    form = MinutesForm(request.POST)
    return _save(
        request, pk, "minutes", form,
        lambda: actions.set_minutes(pk, form.minutes(), by=staff(request), now=clock.now()),
    )  # fmt: skip


@require_POST
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer a kit no more, or again."""
    get_object_or_404(Kit, pk=pk)
    deed = actions.kit_back if "back" in request.POST else actions.retire_kit
    found = deed(pk, by=staff(request), now=clock.now())
    said = _("%s is offered no more.") if found.retired else _("%s is offered again.")
    return done(request, reverse("stores_kits"), said % found)
