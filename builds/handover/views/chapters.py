"""Chapters, set while somebody watches the film."""

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.handover.actions import chapters as actions
from builds.handover.forms.film import ChangeChapterForm, ChapterForm
from builds.handover.refusals import Refused
from builds.handover.views.film import film_of, here, show
from builds.handover.views.show import build_of
from builds.progress.models import Build
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, refused


def _there(build: Build) -> str:
    return here(build) + "#chapters"


@require_POST
def add(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    """Set a chapter."""
    film, form = film_of(number, pk), ChapterForm(request.POST)
    if form.is_valid():
        said = form.cleaned_data
        mark = actions.Mark(said["at"], said["title"], said["shot"])
        try:
            actions.add_chapter(
                film.pk, mark, seconds=said["seconds"], token=said["token"], by=staff(request),
                now=now(),
            )  # fmt: skip
        except Refused as error:
            form.add_error("at", str(error))
        else:
            return done(request, _there(film.build))
    return show(request, build_of(number), {"add": form}, 422)


@require_POST
def change(request: HttpRequest, number: int, pk: int, chapter_id: int) -> HttpResponse:
    """Move a chapter or name it anew."""
    film, form = film_of(number, pk), ChangeChapterForm(request.POST, chapter_id=chapter_id)
    if form.is_valid():
        said = form.cleaned_data
        mark = actions.Mark(said["at"], said["title"])
        try:
            actions.change_chapter(
                film.pk, chapter_id, mark, seen=said["seen"], by=staff(request), now=now()
            )
        except Refused as error:
            form.add_error(None, str(error))
        else:
            return done(request, _there(film.build), _("The chapter is changed."))
    return show(request, build_of(number), {f"chapter-{chapter_id}": form}, 422)


@require_POST
def remove(request: HttpRequest, number: int, pk: int, chapter_id: int) -> HttpResponse:
    """Take a chapter away."""
    film = film_of(number, pk)
    try:
        actions.remove_chapter(
            film.pk, chapter_id, seen=request.POST.get("seen", ""), by=staff(request), now=now()
        )
    except Refused as error:
        return refused(request, _there(film.build), str(error))
    return done(request, _there(film.build), _("The chapter is taken away."))
