"""Adding and describing photos, of a build or of a parcel."""

from collections.abc import Callable

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from builds.bench.forms.intake import OnlyForm
from builds.bench.forms.sheet import PhotoForm, UploadForm
from builds.bench.queries.intake import held_in
from builds.bench.queries.pictures import Pictures, pictures_of, pictures_of_parcel
from builds.bench.views.sheet import build_of
from builds.intake import actions as intake
from builds.intake.models import Arrival, Photo, View
from builds.intake.queries import kept_already
from builds.progress.models import Build
from shop.clock import now
from shop.files import actions as files
from shop.web.access import staff
from shop.web.partials import done, next_url, refused


@require_POST
def add_to_build(request: HttpRequest, number: int) -> HttpResponse:
    """Add photos to a build."""
    build = build_of(number)
    back = next_url(request, reverse("bench_sheet", args=[number]) + "#photos")
    return _add(request, back, lambda: pictures_of(build), build=build)


@require_POST
def add_to_arrival(request: HttpRequest, arrival_id: int) -> HttpResponse:
    """Add photos to a parcel, and so to the builds that it held."""
    arrival = get_object_or_404(Arrival, pk=arrival_id)
    back = next_url(request, reverse("bench_arrival", args=[arrival_id]) + "#photos")

    def pictures() -> Pictures:
        return pictures_of_parcel(arrival, list(held_in(arrival)))

    return _add(request, back, pictures, arrival=arrival)


def _add(
    request: HttpRequest,
    back: str,
    pictures: Callable[[], Pictures],
    *,
    build: Build | None = None,
    arrival: Arrival | None = None,
) -> HttpResponse:
    """Keep each photo by itself: one that is refused does not cost the others.

    :param pictures: what the page shows just then; the views are taken in its turn.
    """
    form = UploadForm(request.POST)
    chosen = form.cleaned_data["view"] if form.is_valid() else None
    uploads = request.FILES.getlist("photos")
    why, here = [] if uploads else [_("Choose at least one photo.")], []
    for upload in uploads:
        try:
            view = chosen or pictures().next_view
            there = _keep(upload, view, build, arrival, request)
        except files.Refused as error:
            why.append(f"{upload.name}: {error}")
        else:
            here += [_here_already(upload, there)] if there else []
    if request.headers.get("X-Photo") == "one":
        words = {"ok": not why, "why": " ".join(why), "said": " ".join(here)}
        return JsonResponse(words, status=422 if why else 200)
    kept = len(uploads) - len(why) - len(here) if uploads else 0
    said = [ngettext("%d photo kept.", "%d photos kept.", kept) % kept] if kept else []
    if why:
        return refused(request, back, " ".join([*said, *here, *why]))
    return done(request, back, " ".join([*said, *here]))


def _keep(
    upload: UploadedFile,
    view: View | None,
    build: Build | None,
    arrival: Arrival | None,
    request: HttpRequest,
) -> Photo | None:
    """Keep a photo; what was there of the same bytes already."""
    moment = now()
    blob = files.keep(upload, moment)
    there = kept_already(blob.pk, arrival=arrival, build=build)
    intake.add_photo(blob, arrival=arrival, build=build, view=view, by=staff(request), now=moment)
    return there


def _here_already(upload: UploadedFile, there: Photo) -> str:
    if there.view:
        return _("%(file)s is here already, as “%(view)s”.") % {
            "file": upload.name,
            "view": there.view,
        }
    return _("%(file)s is here already.") % {"file": upload.name}


@require_POST
def describe(request: HttpRequest, photo_id: int) -> HttpResponse:
    """Say which view a photo shows, and whether the customer may see it."""
    photo = get_object_or_404(Photo, pk=photo_id)
    back = next_url(request, _home(photo))
    form = PhotoForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("The caption is too long: 120 signs at most."))
    intake.describe_photo(photo, **form.cleaned_data, by=staff(request), now=now())
    return done(request, back)


@require_POST
def drop(request: HttpRequest, photo_id: int) -> HttpResponse:
    """Take a photo off."""
    photo = get_object_or_404(Photo, pk=photo_id)
    back = next_url(request, _home(photo))
    try:
        intake.drop_photo(photo, by=staff(request), now=now())
    except intake.Refused as error:
        return refused(request, back, str(error))
    return done(request, back, _("The photo is off."))


@require_POST
def only(request: HttpRequest, photo_id: int) -> HttpResponse:
    """Say which hilt of a parcel a photo shows alone, or that it shows them all."""
    photo = get_object_or_404(Photo, pk=photo_id)
    back = next_url(request, _home(photo))
    form = OnlyForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("That page was out of date. Here is how things stand."))
    try:
        intake.show_one_alone(photo, form.cleaned_data["only"], staff(request), now())
    except intake.Refused as error:
        return refused(request, back, str(error))
    return done(request, back)


def _home(photo: Photo) -> str:
    if photo.build:
        return reverse("bench_sheet", args=[photo.build.number]) + "#photos"
    return reverse("bench_arrival", args=[photo.arrival_id]) + "#photos"
