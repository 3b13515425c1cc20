"""A part: its page, its label, and how it is written down and changed."""

from typing import Any
from uuid import uuid4

import segno
from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shop import clock
from shop.history.queries import last_about
from shop.stores.actions import Overtaken, Refused, parts
from shop.stores.forms.parts import ChangedPartForm, NewPartForm, PartForm
from shop.stores.kinds import Counted, PartKind
from shop.stores.models import Part
from shop.stores.queries import one
from shop.stores.queries.known import figures
from shop.stores.queries.shelf import telling
from shop.stores.views.sheet import sheet
from shop.web.access import staff
from shop.web.partials import done, page, refused

BY_LENGTH = {PartKind.WIRE, PartKind.STRIP}


def part_or_404(pk: int) -> Part:
    """A part, or the page that says there is none."""
    found = one.part_of(pk)
    if found is None:
        raise Http404
    return found


def told(request: HttpRequest) -> dict[str, Any]:
    """What a form of a part wants to know of the shop and of who asks."""
    house = request.house  # type: ignore[attr-defined]
    costs = staff(request).is_owner
    return {"length_unit": house.length_unit, "currency": house.currency, "costs": costs}


@require_safe
def part(request: HttpRequest, pk: int) -> HttpResponse:
    """What it is, what there is of it, what happened to it."""
    return sheet(request, part_or_404(pk))


@require_safe
def label(request: HttpRequest, pk: int) -> HttpResponse:
    """A label to print and stick on its drawer."""
    found = part_or_404(pk)
    house = request.house  # type: ignore[attr-defined]
    path = reverse("stores_part", args=[pk])
    base = house.bench_url.rstrip("/")
    address = base + path if base else request.build_absolute_uri(path)
    code = segno.make(address, error="m", micro=False)
    context = {
        "room": "stores",
        "part": found,
        "told": telling(found, figures([found])[pk], house.length_unit),
        "address": address,
        "qr": code.svg_inline(border=1, svgclass="qr", lineclass=None, omitsize=True),
    }
    return page(request, "stores/label.html", context)


@require_safe
def add(request: HttpRequest) -> HttpResponse:
    """Which kind of part is it?"""
    context = {"room": "stores", "here": "stores", "kinds": PartKind.choices}
    return page(request, "stores/add.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def add_kind(request: HttpRequest, kind: str) -> HttpResponse:
    """Write a part of a kind down."""
    if kind not in PartKind.values:
        raise Http404
    counted = Counted.MM if kind in BY_LENGTH else Counted.PIECE
    form = NewPartForm(
        request.POST if request.method == "POST" else None,
        initial={"token": uuid4(), "counted": counted},
        kind=kind,
        **told(request),
    )
    added = _added(request, kind, form)
    if added:
        return done(request, reverse("stores_part", args=[added.pk]), _("Written down."))
    context = {
        "room": "stores",
        "here": "stores",
        "form": form,
        "title": _("Add: %(kind)s") % {"kind": PartKind(kind).label},
        "back": reverse("stores_add"),
    }
    return page(request, "stores/part_form.html", context, status=422 if form.errors else 200)


def _added(request: HttpRequest, kind: str, form: NewPartForm) -> Part | None:
    if not form.is_valid():
        return None
    try:
        return parts.add_part(
            kind,
            form.fields_given(),
            spec=form.spec_given(),
            stated=form.stated(),
            source=form.cleaned_data.get("source", ""),
            token=form.cleaned_data["token"],
            by=staff(request),
            now=clock.now(),
        )
    except Refused as why:
        form.add_error(None, str(why))
        return None


@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change what is written of a part."""
    found, here = part_or_404(pk), reverse("stores_part", args=[pk])
    title, form = found.name, _changed(request, found)
    try:
        if form.is_valid() and _change(request, pk, form):
            return done(request, here, _("Saved."))
    except Overtaken as why:
        form = _overtaken(request, pk, str(why))
    context = {"room": "stores", "here": "stores", "form": form, "title": title, "back": here}
    return page(request, "stores/part_form.html", context, status=422 if form.errors else 200)


def _changed(request: HttpRequest, found: Part, data: Any = None) -> ChangedPartForm:
    sent = request.POST if request.method == "POST" else None
    return ChangedPartForm(
        data or sent,
        instance=found,
        initial={"seen": _newest(found)},
        kind=found.kind,
        **told(request),
    )


def _newest(found: Part) -> int:
    last = last_about(found.about)
    return last.pk if last else 0


def _overtaken(request: HttpRequest, pk: int, why: str) -> ChangedPartForm:
    """What was typed, to be looked at beside what somebody else saved meanwhile."""
    found, again = part_or_404(pk), request.POST.copy()
    again["seen"] = str(_newest(found))
    form = _changed(request, found, again)
    form.add_error(None, why)
    return form


def _change(request: HttpRequest, pk: int, form: PartForm) -> bool:
    try:
        parts.change_part(
            pk,
            form.fields_given(),
            spec=form.spec_given(),
            seen=form.cleaned_data["seen"],
            by=staff(request),
            now=clock.now(),
        )
    except Overtaken:
        raise
    except Refused as why:
        form.add_error(None, str(why))
        return False
    return True


@require_POST
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer a part no more, or again."""
    part_or_404(pk)
    here = reverse("stores_part", args=[pk])
    deed = parts.bring_back if "back" in request.POST else parts.retire_part
    try:
        found = deed(pk, by=staff(request), now=clock.now())
    except Refused as why:
        return refused(request, here, str(why))
    said = _("%(part)s is offered no more.") if found.retired else _("%(part)s is offered again.")
    return done(request, here, capfirst(said % {"part": found.name}))
