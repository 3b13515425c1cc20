"""Deeds of a parcel's class: where its cells are, its service, a way out, marks to print."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.dispatch.actions import Refused, mend, say_used, stow
from builds.dispatch.forms.stowing import MendForm, StowForm, UsedForm
from builds.dispatch.models import Parcel
from builds.dispatch.queries import day_of
from builds.dispatch.queries.class_section import class_section
from builds.dispatch.queries.marks import Side, marks_pdf
from builds.dispatch.views.parcel import parcel_of, show
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff
from shop.web.partials import done, refused


def _at(parcel: Parcel, section: str) -> str:
    return reverse("dispatch_parcel", args=[parcel.pk]) + f"#{section}"


def _section(request: HttpRequest, parcel: Parcel) -> Any:
    diary = calendar(request.house)  # type: ignore[attr-defined]
    return class_section(parcel, day_of(parcel, diary, now()))


@require_POST
def cell(request: HttpRequest, pk: int, key: str) -> HttpResponse:
    """Say where the cell of one thing is on the way."""
    parcel = parcel_of(pk)
    things = {thing.key: thing for thing in _section(request, parcel).classing.contents.things}
    if key not in things:
        return refused(request, _at(parcel, "cells"), _("That is not in this parcel any more."))
    form = StowForm(request.POST, thing=things[key])
    if form.is_valid():
        seen = form.cleaned_data["seen"]
        try:
            stow(parcel.pk, key, form.answer, seen=seen, by=staff(request), now=now())
        except Refused as error:
            return refused(request, _at(parcel, "cells"), str(error))
        return done(request, _at(parcel, "cells"), _("It is noted how the cell travels."))
    return show(request, parcel_of(pk), 422, {key: form})


@require_POST
def way_out(request: HttpRequest, pk: int) -> HttpResponse:
    """Take one of the ways out that a refusal offers."""
    parcel, form = parcel_of(pk), MendForm(request.POST)
    name = form.cleaned_data["name"] if form.is_valid() else ""
    offered = {remedy.name: remedy for remedy in _section(request, parcel).ways_out}
    if name not in offered:
        return refused(request, _at(parcel, "class"), _("That is no way out any more."))
    try:
        mend(parcel.pk, offered[name], by=staff(request), now=now())
    except Refused as error:
        return refused(request, _at(parcel, "class"), str(error))
    return done(request, _at(parcel, "class"), _("Done. Look at the class as it is now."))


@require_POST
def used(request: HttpRequest, pk: int) -> HttpResponse:
    """Say whether anything in the parcel was used or repaired before."""
    parcel, form = parcel_of(pk), UsedForm(request.POST)
    if not form.is_valid():
        return refused(request, _at(parcel, "class"), _("Say whether anything in it was used."))
    is_unused = form.cleaned_data["used"] == "no"
    try:
        say_used(parcel.pk, is_unused, by=staff(request), now=now())
    except Refused as error:
        return refused(request, _at(parcel, "class"), str(error))
    return done(request, _at(parcel, "class"), _("Done. Look at the class as it is now."))


@require_safe
def marks(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """The mark and the texts of the outside, to print to size."""
    parcel = get_object_or_404(Parcel, pk=pk)
    section = _section(request, parcel)
    if size not in list(Side) or not section.wants_printing:
        raise Http404
    sheet = request.house.sheet  # type: ignore[attr-defined]
    made = marks_pdf(section.result, Side(size), sheet)
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="marks-{parcel.pk}.pdf"'
    return answer
