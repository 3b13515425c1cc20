"""Holes in a section's wall: written down, measured anew, taken off."""

from typing import Any

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.hilts import actions
from builds.hilts.forms import measuring, shape
from builds.hilts.models import Hole, Section
from builds.hilts.states import Basis
from builds.hilts.views.hilt import section_of, show
from builds.hilts.views.where import MOST_DIGITS, Deed, address, build_asked, said_of, save
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, refused


def hole_of(pk: int) -> Hole:
    """The hole of a key, or 404."""
    found = Hole.objects.select_related("section__hilt__customer")
    return get_object_or_404(found, pk=pk if len(str(pk)) <= MOST_DIGITS else 0)


@require_POST
def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down a hole, with where it is."""
    section = section_of(pk)
    unit = request.house.length_unit  # type: ignore[attr-defined]
    form = shape.HoleForm(request.POST, section=section, unit=unit)

    def deed(values: dict[str, Any]) -> None:
        readings = measuring.hole_readings(values)
        facts = {name: values[name] for name in ("what", "note", "token")}
        actions.note_hole(
            section.pk, readings, basis=Basis.MEASURED, **facts, by=staff(request), now=now()
        )

    return _saved(request, section, section, form, deed, _("The hole is kept."))


@require_POST
def measure(request: HttpRequest, pk: int) -> HttpResponse:
    """Measure a hole anew."""
    hole = hole_of(pk)
    unit = request.house.length_unit  # type: ignore[attr-defined]
    form = measuring.HoleMeasureForm(request.POST, hole_id=hole.pk, unit=unit)

    def deed(values: dict[str, Any]) -> None:
        readings, token = measuring.hole_readings(values), values["token"]
        by, moment = staff(request), now()
        actions.measure(hole, readings, basis=Basis.MEASURED, token=token, by=by, now=moment)

    return _saved(request, hole.section, hole, form, deed, _("Kept."))


@require_POST
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """Take off a hole that was written down by mistake."""
    hole = hole_of(pk)
    actions.end_hole(hole.pk, by=staff(request), now=now())
    return done(request, _to(request, hole.section), _("The hole is off the list."))


def _saved(
    request: HttpRequest,
    section: Section,
    thing: Section | Hole,
    form: BaseForm,
    deed: Deed,
    said: str,
) -> HttpResponse:
    to = _to(request, section)
    name = "hole" if isinstance(thing, Section) else "measure-hole"

    def again(bound: BaseForm) -> HttpResponse:
        thing.refresh_from_db()
        if thing.ended_at:  # another tablet took it off meanwhile, and its form with it
            return refused(request, to, said_of(bound))
        return show(request, section.hilt, {f"{name}-{thing.pk}": bound}, 422)

    return save(request, form, deed, again, to, said)


def _to(request: HttpRequest, section: Section) -> str:
    build = build_asked(request, section.hilt)
    return address("hilts_hilt", section.hilt, build, f"section-{section.pk}")
