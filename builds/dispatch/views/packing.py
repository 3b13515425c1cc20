"""The packing list: ticked by one tap, taken back by another; the photo of the packed box."""

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from builds.dispatch.actions import Refused, tick_line, untick_line
from builds.dispatch.forms.packing import TickForm
from builds.dispatch.models import PackTick, Parcel
from builds.dispatch.views.parcel import parcel_of
from builds.intake.actions import add_photo
from builds.intake.queries import packed_view
from shop.clock import now
from shop.files import actions as files
from shop.web.access import staff
from shop.web.dated import dated
from shop.web.partials import done, refused


def _list(pk: int) -> str:
    return reverse("dispatch_parcel", args=[pk]) + "#list"


@require_POST
def tick(request: HttpRequest, pk: int) -> HttpResponse:
    """Tick a line."""
    get_object_or_404(Parcel, pk=pk)
    form = TickForm(request.POST)
    if not form.is_valid():
        return refused(request, _list(pk), _("That page was out of date."))
    token, code, build = (form.cleaned_data[name] for name in ("token", "code", "build"))
    try:
        made = tick_line(pk, code, build, token=token, by=staff(request), now=now())
    except Refused as error:
        return refused(request, _list(pk), str(error))
    return done(request, _list(pk), "" if made.token == token else _was_first(made))


def _was_first(tick: PackTick) -> str:
    at = {"who": tick.by.name, "at": dated(tick.at, "clock")}
    return _("%(who)s ticked it already, at %(at)s.") % at


@require_POST
def untick(request: HttpRequest, pk: int, tick_id: int) -> HttpResponse:
    """Take a tick back."""
    get_object_or_404(Parcel, pk=pk)
    try:
        untick_line(pk, tick_id, by=staff(request), now=now())
    except Refused as error:
        return refused(request, _list(pk), str(error))
    return done(request, _list(pk))


@require_POST
def photo(request: HttpRequest, pk: int) -> HttpResponse:
    """Keep a photo of the packed box with every build in it; one that is refused costs no other."""
    parcel = parcel_of(pk)
    uploads = request.FILES.getlist("photos")
    why = [] if uploads else [_("Choose at least one photo.")]
    for upload in uploads:
        try:
            _keep(upload, parcel, request)
        except files.Refused as error:
            why.append(f"{upload.name}: {error}")
    kept = len(uploads) - len(why) if uploads else 0
    if request.headers.get("X-Photo") == "one":
        return JsonResponse({"ok": not why, "why": " ".join(why)}, status=422 if why else 200)
    said = ngettext("%d photo kept.", "%d photos kept.", kept) % kept if kept else ""
    if why:
        return refused(request, _list(pk), " ".join(filter(None, [said, *why])))
    return done(request, _list(pk), said)


def _keep(upload: UploadedFile, parcel: Parcel, request: HttpRequest) -> None:
    moment, view = now(), packed_view()
    blob = files.keep(upload, moment)
    for packed in parcel.inside:  # type: ignore[attr-defined]
        add_photo(blob, build=packed.build, view=view, by=staff(request), now=moment)
