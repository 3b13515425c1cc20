"""The page of a hilt: sections from the blade's end to the pommel, measured one by one."""

from typing import Any
from uuid import uuid4

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.hilts import actions
from builds.hilts.forms import measuring, shape
from builds.hilts.models import Hilt, Section
from builds.hilts.queries import hilt_page, like_hilts
from builds.hilts.queries.blades import blades_tried_in, with_facts
from builds.hilts.states import Basis
from builds.hilts.views.parts import basis_for, part_of
from builds.hilts.views.where import (
    MOST_DIGITS,
    Bound,
    address,
    build_asked,
    hilt_of,
    query,
    said_of,
    save,
)
from shop.clock import now
from shop.history.queries import entries_about
from shop.web.access import staff
from shop.web.partials import done, page, refused

LINES = 30  # of history


def show(
    request: HttpRequest, hilt: Hilt, bound: Bound | None = None, status: int = 200
) -> HttpResponse:
    """The page, with the forms that came back bound in place of fresh ones."""
    unit = request.house.length_unit  # type: ignore[attr-defined]
    build, found = build_asked(request, hilt), hilt_page(hilt, unit)
    begins = request.GET.get("like", "")[:80]
    basis = basis_for(build)
    parts = [part_of(row, unit, basis, bound or {}) for row in found.rows]
    wanted = request.GET.get("measure", "")
    for part in parts:
        is_wanted = str(part["row"].section.pk) == wanted
        part["is_next"] = is_wanted or (part["row"] == found.next_row and not wanted)
    fresh = shape.NewSectionForm(initial={"token": uuid4()})
    context = {
        "room": "bench",
        "hilt": hilt,
        "build": build,
        "query": query(build),
        "page": found,
        "parts": parts,
        "unit": unit,
        "new": (bound or {}).get("new", fresh),
        "usual": shape.USUAL,
        "like": [] if found.rows else [(one, uuid4()) for one in like_hilts(hilt, begins)],
        "begins": begins,
        "blades": with_facts(blades_tried_in(hilt), unit),
        "history": entries_about(hilt.about, LINES),
    }
    named = {f"section-{part['row'].section.pk}": "hilts/_section.html" for part in parts}
    asked = request.headers.get("HX-Target", "")
    context["part"] = next((p for p in parts if asked == f"section-{p['row'].section.pk}"), None)
    return page(request, "hilts/hilt.html", context, named, status, {"strip": "hilts/_strip.html"})


def section_of(pk: int) -> Section:
    """The section of a key, still on its hilt or not, or 404."""
    found = Section.objects.select_related("hilt__customer")
    return get_object_or_404(found, pk=pk if len(str(pk)) <= MOST_DIGITS else 0)


@require_safe
def hilt(request: HttpRequest, pk: int) -> HttpResponse:
    """What is known of one hilt."""
    return show(request, hilt_of(pk))


@require_POST
def begin(request: HttpRequest, pk: int, like: int) -> HttpResponse:
    """Begin from a like hilt: its values are believed until measured."""
    found, lender = hilt_of(pk), hilt_of(like)
    to = address("hilts_hilt", found, build_asked(request, found))
    form = shape.TokenForm(request.POST)
    if not form.is_valid():
        return refused(request, to, said_of(form))
    try:
        token = form.cleaned_data["token"]
        actions.copy_shape(lender, found, token=token, by=staff(request), now=now())
    except actions.Refused as error:
        return refused(request, to, str(error))
    return done(request, to, _("Begun from %(hilt)s.") % {"hilt": lender})


@require_POST
def add(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a section at the pommel's end."""
    found = hilt_of(pk)

    def deed(values: dict[str, Any]) -> None:
        name, token = values["name"], values["token"]
        actions.add_section(found, name, token=token, by=staff(request), now=now())

    def again(form: BaseForm) -> HttpResponse:
        return show(request, found, {"new": form}, 422)

    to = address("hilts_hilt", found, build_asked(request, found), "add")
    form = shape.NewSectionForm(request.POST)
    return save(request, form, deed, again, to, _("The section is added."))


@require_POST
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a section another name, or say that the blade goes into it."""
    section = section_of(pk)

    def deed(values: dict[str, Any]) -> None:
        actions.change_section(section.pk, **values, by=staff(request), now=now())

    form = shape.SectionForm(request.POST, section=section)
    return _saved(request, section, "change", form, deed, _("The section is changed."))


@require_POST
def move(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a section to another place."""
    section = section_of(pk)
    form = shape.MoveForm(request.POST)
    to = _to(request, section)
    if not form.is_valid():
        return refused(request, to, said_of(form))
    try:
        actions.move_section(section.pk, **form.cleaned_data, by=staff(request), now=now())
    except actions.Refused as error:
        return refused(request, to, str(error))
    return done(request, to)


@require_POST
def end(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a section off the hilt."""
    section = section_of(pk)
    form = shape.TokenForm(request.POST)
    to = address("hilts_hilt", section.hilt, build_asked(request, section.hilt), "add")
    if not form.is_valid():
        return refused(request, to, said_of(form))
    token = form.cleaned_data["token"]
    actions.end_section(section.pk, token=token, by=staff(request), now=now())
    return done(request, to, _("It is off the hilt; what was measured of it is kept."))


@require_POST
def measure(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep what the caliper says of a section."""
    section = section_of(pk)
    unit = request.house.length_unit  # type: ignore[attr-defined]
    rows = hilt_page(section.hilt, unit).rows
    row = next((each for each in rows if each.section.pk == section.pk), None)
    if row is None:
        to = address("hilts_hilt", section.hilt, build_asked(request, section.hilt))
        return refused(request, to, _("This section is off the hilt by now. Nothing was kept."))
    form = measuring.MeasureForm(request.POST, shape=row.shape, unit=unit)

    def deed(values: dict[str, Any]) -> None:
        facts = {"basis": values["basis"], "token": values["token"]}
        actions.measure(section, form.readings, **facts, by=staff(request), now=now())

    return _saved(request, section, "measure", form, deed, _("Kept."))


@require_POST
def joint(request: HttpRequest, pk: int) -> HttpResponse:
    """Say what holds a section to the one behind it, and measure it."""
    section = section_of(pk)
    unit = request.house.length_unit  # type: ignore[attr-defined]
    form = shape.JointForm(request.POST, section=section, unit=unit)

    def deed(values: dict[str, Any]) -> None:
        facts = {name: values[name] for name in ("kind", "stuck", "note", "seen", "token")}
        actions.note_joint(
            section.pk, form.readings, basis=Basis.MEASURED, **facts, by=staff(request), now=now()
        )

    return _saved(request, section, "joint", form, deed, _("The joint is kept."))


def _saved(
    request: HttpRequest, section: Section, name: str, form: Any, deed: Any, said: str
) -> HttpResponse:
    to = _to(request, section)

    def again(bound: BaseForm) -> HttpResponse:
        if not _is_drawn(section, name):
            return refused(request, to, said_of(bound))
        return show(request, section.hilt, {f"{name}-{section.pk}": bound}, 422)

    return save(request, form, deed, again, to, said)


def _is_drawn(section: Section, name: str) -> bool:
    """Whether the page has a place for a form: another tablet may have taken it off meanwhile."""
    section.refresh_from_db()
    behind = section.hilt.sections.filter(ended_at=None, position__gt=section.position)
    return section.ended_at is None and (name != "joint" or behind.exists())


def _to(request: HttpRequest, section: Section) -> str:
    build = build_asked(request, section.hilt)
    return address("hilts_hilt", section.hilt, build, f"section-{section.pk}")
