"""The page of a build's film: put there, published, its poster, its parts."""

from collections.abc import Callable, Mapping
from uuid import uuid4

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.handover.actions import ffmpeg
from builds.handover.actions import films as actions
from builds.handover.forms.film import (
    ChangeChapterForm,
    ChapterForm,
    FileForm,
    LinkForm,
    PosterForm,
)
from builds.handover.models import Film
from builds.handover.queries.films import FilmPage, film_page, send_part
from builds.handover.refusals import Refused
from builds.handover.views.show import build_of
from builds.progress.models import Build
from shop.clock import now
from shop.files.actions import Refused as FileRefused
from shop.files.actions import keep
from shop.house.queries import house
from shop.web.access import staff
from shop.web.partials import done, page, refused

PARTS = {
    "chapters": "handover/_chapters.html",
    "film-stands": "handover/_film_stands.html",
    "poster": "handover/_poster.html",
}


def here(build: Build) -> str:
    """The address of a build's film."""
    return reverse("handover_film", args=[build.number])


def show(
    request: HttpRequest,
    build: Build,
    bound: Mapping[str, BaseForm] | None = None,
    status: int = 200,
) -> HttpResponse:
    """The page. ``bound``: name of a form → the one that came back with what was typed."""
    came, shown = dict(bound or {}), film_page(build)
    film = shown.shown.film if shown.shown else None
    first = {"seen": film.pk if film else 0, "token": uuid4()}
    context = {
        "room": "bench",
        "build": build,
        "page": shown,
        "shown": shown.shown,
        "film": film,
        "can_look": ffmpeg.is_there(),
        "limit_mb": house().largest_film_mb,
        "first": first,
        "file": came.get("file") or FileForm(initial=first),
        "link": came.get("link") or LinkForm(initial={**first, "token": uuid4()}),
        "add": came.get("add") or _chapter(shown),
        "rows": _rows(shown, came),
        "poster": came.get("poster") or PosterForm(),
    }
    return page(request, "handover/film.html", context, PARTS, status)


def _chapter(shown: FilmPage) -> ChapterForm:
    shot = shown.proposed
    named = {"title": shot.title[:120], "shot": shot.code} if shot else {}
    return ChapterForm(initial={**named, "token": uuid4()})


def _rows(shown: FilmPage, came: Mapping[str, BaseForm]) -> list[tuple[object, BaseForm]]:
    """Each chapter with the form that changes it."""
    rows = shown.shown.chapters if shown.shown else []
    return [
        (
            row,
            came.get(f"chapter-{row.chapter.pk}")
            or ChangeChapterForm(
                chapter_id=row.chapter.pk,
                initial={"at": row.at, "title": row.chapter.title, "seen": row.seen},
            ),
        )
        for row in rows
    ]


@require_safe
def film(request: HttpRequest, number: int) -> HttpResponse:
    """The film of one build, or the ways to put one there."""
    return show(request, build_of(number))


@require_POST
def link(request: HttpRequest, number: int) -> HttpResponse:
    """Put a link to a film that lies elsewhere."""
    build, form = build_of(number), LinkForm(request.POST)
    if form.is_valid():
        said = form.cleaned_data
        try:
            actions.put_film(
                build.pk, actions.Source(link=said["link"]), seen=said["seen"],
                token=said["token"], by=staff(request), now=now(),
            )  # fmt: skip
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, here(build), _("The link is kept."))
    return show(request, build, {"link": form}, 422)


def film_of(number: int, pk: int) -> Film:
    """A film of a build, ended or not, or 404."""
    joined = Film.objects.select_related("build__hilt", "build__blade", "blob", "smaller", "poster")
    return get_object_or_404(joined, pk=pk, build__number=number)


def _tap(
    request: HttpRequest, number: int, pk: int, deed: Callable[..., Film], said: str
) -> HttpResponse:
    film = film_of(number, pk)
    try:
        deed(film.pk, by=staff(request), now=now())
    except Refused as error:
        return refused(request, here(film.build), str(error))
    return done(request, here(film.build), said)


@require_POST
def publish(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Let the customer see it. Whoever wants to tell them does so on the page for that."""
    return _tap(request, number, pk, actions.publish, _("The customer sees it now."))


@require_POST
def take_back(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Hide it from the customer again."""
    return _tap(request, number, pk, actions.take_back, _("The customer does not see it any more."))


@require_POST
def end(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Take it off the build."""
    return _tap(request, number, pk, actions.end_film, _("The film is taken off."))


@require_POST
def poster(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Take a picture as poster: a still out of the film, or a photo."""
    found, form = film_of(number, pk), PosterForm(request.POST, request.FILES)
    if form.is_valid():
        try:
            picture = keep(form.cleaned_data["poster"], now())
            actions.set_poster(found.pk, picture, by=staff(request), now=now())
        except (Refused, FileRefused) as error:
            form.add_error("poster", str(error))
        else:
            return done(request, here(found.build), _("The picture is kept."))
    return show(request, build_of(number), {"poster": form}, 422)


@require_safe
def part(request: HttpRequest, number: int, pk: int, what: str) -> HttpResponseBase:
    """The film itself, its picture, its chapters."""
    return send_part(request, film_of(number, pk), what)
