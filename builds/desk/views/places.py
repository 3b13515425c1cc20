"""Settings: the trays and the places."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.desk.forms.settings import PlaceNameForm, TraysForm
from builds.desk.queries import settings as queries
from builds.desk.views.section import section
from builds.progress import places as deeds
from builds.progress.models import Place, Tray
from shop import clock
from shop.web.access import owner_only, staff
from shop.web.partials import done, refused


def _show(request: HttpRequest, is_refused: bool = False, **forms: Any) -> HttpResponse:
    context = {
        "trays": list(queries.trays()),
        "places": list(queries.places()),
        "trays_form": TraysForm(),
        "place_form": PlaceNameForm(),
    }
    parts = {"section": "desk/_places.html"}
    return section(request, "desk_places", "places", context | forms, parts, is_refused)


@owner_only
@require_safe
def places(request: HttpRequest) -> HttpResponse:
    """The numbered trays, the shelves and corners."""
    return _show(request)


@owner_only
@require_POST
def add_trays(request: HttpRequest) -> HttpResponse:
    """More trays, numbered on."""
    form = TraysForm(request.POST)
    if not form.is_valid():
        return _show(request, True, trays_form=form)
    numbers = deeds.add_trays(form.cleaned_data["how_many"], by=staff(request), now=clock.now())
    said = _("Trays up to %(last)s are there.") % {"last": f"{numbers[-1]:02d}"}
    return done(request, reverse("desk_places"), said)


@owner_only
@require_POST
def retire_tray(request: HttpRequest, pk: int) -> HttpResponse:
    """Give a tray out no more, or again."""
    get_object_or_404(Tray, pk=pk)
    to = reverse("desk_places")
    try:
        retired = "back" not in request.POST
        tray = deeds.retire_tray(pk, retired, by=staff(request), now=clock.now())
    except deeds.InUse as refusal:
        return refused(request, to, str(refusal))
    said = _("Tray %(tray)s is put away.") if tray.retired else _("Tray %(tray)s is back.")
    return done(request, to, said % {"tray": tray})


@owner_only
@require_POST
def add_place(request: HttpRequest) -> HttpResponse:
    """A new shelf or corner."""
    form = PlaceNameForm(request.POST)
    if not form.is_valid():
        return _show(request, True, place_form=form)
    deeds.add_place(form.cleaned_data["name"], by=staff(request), now=clock.now())
    return done(request, reverse("desk_places"), _("The place is there."))


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def one_place(request: HttpRequest, pk: int) -> HttpResponse:
    """Call a place something else."""
    place = get_object_or_404(Place, pk=pk)
    title = place.name  # The form writes into the place what it was given, right or wrong
    form = PlaceNameForm(request.POST or None, instance=place)
    if form.is_valid():
        deeds.rename_place(pk, form.cleaned_data["name"], by=staff(request), now=clock.now())
        return done(request, reverse("desk_places"), _("Saved."))
    context = {"form": form, "title": title}
    return section(request, "desk_places", "place", context, refused=bool(form.errors))


@owner_only
@require_POST
def retire_place(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer a place no more, or again."""
    get_object_or_404(Place, pk=pk)
    to = reverse("desk_places")
    try:
        retired = "back" not in request.POST
        place = deeds.retire_place(pk, retired, by=staff(request), now=clock.now())
    except deeds.InUse as refusal:
        return refused(request, to, str(refusal))
    said = _("%(place)s is offered no more.") if place.retired else _("%(place)s is back.")
    return done(request, to, said % {"place": place})
