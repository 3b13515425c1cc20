"""A film as a file: whole by a form, or in pieces that go on where they broke off."""

from uuid import UUID

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.handover.actions.films import Source, check_seen, put_film
from builds.handover.forms.film import BeginForm, FileForm, UseForm
from builds.handover.models import Film
from builds.handover.queries.films import about
from builds.handover.refusals import Refused
from builds.handover.views.film import here, show
from builds.handover.views.show import build_of
from builds.progress.models import Build
from shop.clock import now
from shop.files import pieces
from shop.files.actions import Refused as FileRefused
from shop.files.models import Upload
from shop.house.queries import house
from shop.web.access import staff
from shop.web.partials import done, refused

IN_PIECES = "X-Pieces"  # a script that sends pieces reads JSON


@require_POST
def put(request: HttpRequest, number: int) -> HttpResponse:
    """Take a film whole, by a plain form."""
    build, form = build_of(number), FileForm(request.POST, request.FILES)
    if form.is_valid():
        said = form.cleaned_data
        try:
            blob = pieces.keep_whole(said["film"], house().largest_film_mb, now())
            put_film(
                build.pk, Source(blob), seen=said["seen"], token=said["token"],
                by=staff(request), now=now(),
            )  # fmt: skip
        except FileRefused as error:
            form.add_error("film", str(error))
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, here(build), _("The film is kept."))
    return show(request, build, {"file": form}, 422)


@require_POST
def begin(request: HttpRequest, number: int) -> HttpResponse:
    """Begin a film in pieces, or find the one that broke off: where to send, and from where on."""
    build, form = build_of(number), BeginForm(request.POST)
    if not form.is_valid():
        return JsonResponse({"why": _first_error(form)}, status=422)
    said = form.cleaned_data
    try:
        upload = pieces.begin_upload(
            about(build), said["name"], said["size"], mark=said["mark"],
            most_mb=house().largest_film_mb, token=said["token"], by=staff(request), now=now(),
        )  # fmt: skip
    except FileRefused as error:
        return JsonResponse({"why": str(error)}, status=422)
    urls = {
        "url": reverse("files_upload", args=[upload.token]),
        "use": reverse("handover_film_use", args=[number, upload.token]),
    }
    return JsonResponse({**urls, "received": upload.received, "size": upload.size})


@require_POST
def use(request: HttpRequest, number: int, token: UUID) -> HttpResponse:
    """Make a film that came whole that of the build."""
    build = build_of(number)
    get_object_or_404(Upload, token=token, about=about(build))
    form = UseForm(request.POST)
    if not form.is_valid():
        return _answer(request, build, _("This page is out of date. Look at it anew."))
    seen = form.cleaned_data["seen"]
    try:
        if not Film.objects.filter(token=token).exists():
            check_seen(build, seen)  # what came stays an upload, to be used after a look
        blob = pieces.finish_upload(token, now())
        put_film(build.pk, Source(blob), seen=seen, token=token, by=staff(request), now=now())
    except (Refused, FileRefused) as error:
        return _answer(request, build, str(error))
    return _answer(request, build, "")


@require_POST
def give_up(request: HttpRequest, number: int, token: UUID) -> HttpResponse:
    """Let go of a film that has not come whole."""
    build = build_of(number)
    get_object_or_404(Upload, token=token, about=about(build))
    pieces.give_up(token, now())
    return done(request, here(build), _("What came of it is let go."))


def _answer(request: HttpRequest, build: Build, why: str) -> HttpResponse:
    if IN_PIECES in request.headers:
        said = {"why": why} if why else {"to": here(build)}
        return JsonResponse(said, status=409 if why else 200)
    if why:
        return refused(request, here(build), why)
    return done(request, here(build), _("The film is kept."))


def _first_error(form: BaseForm) -> str:
    return next(str(error) for errors in form.errors.values() for error in errors)
