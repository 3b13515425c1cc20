"""Changes the film of a build: put there, replaced, published, taken back, its poster."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.handover.models import Film
from builds.handover.refusals import Refused
from builds.progress.actions import locked
from builds.progress.models import Build
from shop.files.models import Blob
from shop.history.actions import record
from shop.people.models import User
from shop.web.wake import wake

LOOK = "builds.handover.tasks.look"


@dataclass(frozen=True)
class Source:
    """What a film is: a file that is kept, or the address of one elsewhere."""

    blob: Blob | None = None
    link: str = ""


@transaction.atomic
def put_film(
    build_id: int, source: Source, *, seen: int, token: UUID, by: User, now: datetime
) -> Film:
    """Make a film that of its build, once for one token; the one before it is ended.

    ``seen`` is the film that the page showed, 0 for none.

    :raises Refused: somebody put another there meanwhile.
    """
    build = locked(build_id)
    if known := Film.objects.filter(token=token).first():
        return known
    before = check_seen(build, seen)
    if before:
        before.ended_at = now
        before.save(update_fields=["ended_at"])
        record("film_ended", build.about, by, now)
    film = Film.objects.create(
        token=token, build=build, blob=source.blob, link=source.link, added_at=now, added_by=by,
        looked_at=None if source.blob else now,
    )  # fmt: skip
    if source.blob:
        record("film_added", build.about, by, now)
        wake(LOOK, film.pk)
    else:
        record("film_linked", build.about, by, now)
    return film


@transaction.atomic
def publish(film_id: int, *, by: User, now: datetime) -> Film:
    """Let the customer see a film; published already, it stays so.

    :raises Refused: another film stands in its place.
    """
    film = held_film(film_id)
    if film.published_at is None:
        film.published_at = now
        film.save(update_fields=["published_at"])
        record("film_published", film.build.about, by, now)
    return film


@transaction.atomic
def take_back(film_id: int, *, by: User, now: datetime) -> Film:
    """Hide a film from the customer again; hidden already, it stays so.

    :raises Refused: another film stands in its place.
    """
    film = held_film(film_id)
    if film.published_at is not None:
        film.published_at = None
        film.save(update_fields=["published_at"])
        record("film_taken_back", film.build.about, by, now)
    return film


@transaction.atomic
def end_film(film_id: int, *, by: User, now: datetime) -> Film:
    """Take a film off its build; taken off already, nothing happens."""
    film = _locked(film_id)
    if film.ended_at is None:
        film.ended_at = now
        film.save(update_fields=["ended_at"])
        record("film_ended", film.build.about, by, now)
    return film


@transaction.atomic
def set_poster(film_id: int, poster: Blob, *, by: User, now: datetime) -> Film:
    """Give a film the picture that stands for it before it plays.

    :raises Refused: another film stands in its place.
    """
    film = held_film(film_id)
    if film.poster_id != poster.pk:
        film.poster = poster
        film.save(update_fields=["poster"])
        record("film_poster", film.build.about, by, now)
    return film


def check_seen(build: Build, seen: int) -> Film | None:
    """The film that counts, if it is the one that the page showed.

    :raises Refused: it is another.
    """
    standing = standing_film(build)
    if (standing.pk if standing else 0) != seen:
        raise Refused(_first(standing))
    return standing


def standing_film(build: Build) -> Film | None:
    """The film that counts, read anew."""
    return Film.objects.filter(build=build, ended_at=None).select_related("added_by").first()


def held_film(film_id: int) -> Film:
    """A film that counts, its build locked.

    :raises Refused: it was ended: another stands in its place, or none.
    """
    film = _locked(film_id)
    if film.ended_at is not None:
        raise Refused(_first(standing_film(film.build)))
    return film


def _locked(film_id: int) -> Film:
    build_id = Film.objects.values_list("build", flat=True).get(pk=film_id)
    locked(build_id)
    return Film.objects.select_related("build").get(pk=film_id)


def _first(standing: Film | None) -> str:
    if standing is None:
        return _("Somebody took the film off meanwhile. Nothing of yours was changed; look at it.")
    facts = {"who": standing.added_by.name}
    return (
        _("%(who)s put a film here meanwhile. Nothing of yours was changed; look at that one.")
        % facts
    )
