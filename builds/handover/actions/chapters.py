"""Changes the chapters of a film, set while somebody watches it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.handover.actions.films import held_film
from builds.handover.models import Chapter, Film
from builds.handover.queries.films import seen_as
from builds.handover.queries.times import clock
from builds.handover.refusals import Refused
from shop.history.actions import record
from shop.history.queries import made_once
from shop.people.models import User

MOST = 200
LONGEST_S = 24 * 3600


@dataclass(frozen=True)
class Mark:
    """Where something begins, what, and the line of the shot list that it shows."""

    begins_ms: int
    title: str
    shot: str = ""


@transaction.atomic
def add_chapter(
    film_id: int, mark: Mark, *, seconds: float | None = None, token: UUID, by: User, now: datetime
) -> None:
    """Set a chapter, once for one token. ``seconds``: how long the player says the film is.

    :raises Refused: another begins there, or another film stands in its place.
    """
    film = held_film(film_id)
    if made_once(token):
        return
    if film.chapters.count() >= MOST:
        raise Refused(_("A film has at most %(n)d chapters.") % {"n": MOST})
    _check_free(film, mark.begins_ms)
    made = film.chapters.create(begins_ms=mark.begins_ms, title=mark.title, shot=mark.shot)
    if film.seconds is None and seconds is not None and 0 < seconds < LONGEST_S:
        film.seconds = seconds
        film.save(update_fields=["seconds"])
    record("once", f"once:{token}", by, now, made=f"chapter:{made.pk}")
    record(
        "chapter_added", film.build.about, by, now, title=made.title, begins=clock(made.begins_ms)
    )


@transaction.atomic
def change_chapter(
    film_id: int, chapter_id: int, mark: Mark, *, seen: str, by: User, now: datetime
) -> None:
    """Move a chapter or name it anew; what is so already stays.

    :raises Refused: another tablet changed it, another begins there, or the film was replaced.
    """
    film = held_film(film_id)
    chapter = _there(film, chapter_id)
    if (chapter.begins_ms, chapter.title) == (mark.begins_ms, mark.title):
        return
    _check_seen(chapter, seen)
    if chapter.begins_ms != mark.begins_ms:
        _check_free(film, mark.begins_ms)
    chapter.begins_ms, chapter.title = mark.begins_ms, mark.title
    chapter.save(update_fields=["begins_ms", "title"])
    begins = clock(chapter.begins_ms)
    record("chapter_changed", film.build.about, by, now, title=chapter.title, begins=begins)


@transaction.atomic
def remove_chapter(film_id: int, chapter_id: int, *, seen: str, by: User, now: datetime) -> None:
    """Take a chapter away; away already, nothing happens.

    :raises Refused: another tablet changed it, or another film stands in its place.
    """
    film = held_film(film_id)
    chapter = film.chapters.filter(pk=chapter_id).first()
    if chapter is None:
        return
    _check_seen(chapter, seen)
    begins = clock(chapter.begins_ms)
    chapter.delete()
    record("chapter_removed", film.build.about, by, now, title=chapter.title, begins=begins)


def _there(film: Film, chapter_id: int) -> Chapter:
    chapter = film.chapters.filter(pk=chapter_id).first()
    if chapter is None:
        raise Refused(_("Somebody took this chapter away meanwhile."))
    return chapter


def _check_seen(chapter: Chapter, seen: str) -> None:
    if seen_as(chapter) != seen:
        facts = {"title": chapter.title, "at": clock(chapter.begins_ms)}
        raise Refused(
            _("Somebody changed it meanwhile: %(at)s %(title)s. Look, then do it again.") % facts
        )


def _check_free(film: Film, begins_ms: int) -> None:
    there = film.chapters.filter(begins_ms=begins_ms).first()
    if there is not None:
        facts = {"at": clock(begins_ms), "title": there.title}
        raise Refused(_("A chapter begins at %(at)s already: %(title)s.") % facts)
