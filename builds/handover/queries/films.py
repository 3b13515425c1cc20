"""Reads the films of builds: the one that counts, what is published of it, its page."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from urllib.parse import urlsplit

from django.db.models import Prefetch
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.utils.translation import gettext as _

from builds.handover.models import Chapter, Film
from builds.handover.queries.shots import Shot, Shots, shots_of
from builds.handover.queries.times import clock, length
from builds.handover.queries.webvtt import webvtt
from builds.progress.models import Build
from shop.files.models import Blob, Upload
from shop.files.queries import send_file, send_rendition, show_file
from shop.web.figures import pointed
from shop.web.reading import each_once

POSTER_SIDE = 1600
_ENDINGS = {
    "video/mp4": "mp4",
    "video/quicktime": "mov",
    "video/webm": "webm",
    "video/x-matroska": "mkv",
}


@dataclass(frozen=True)
class ChapterRow:
    """A chapter as a page shows it."""

    chapter: Chapter

    @property
    def at(self) -> str:
        """Where it begins: 1:05."""
        return clock(self.chapter.begins_ms)

    @property
    def seconds(self) -> str:
        """The same for a player, in seconds."""
        return f"{self.chapter.begins_ms / 1000:g}"

    @property
    def seen(self) -> str:
        """What its forms carry, to notice another tablet."""
        return seen_as(self.chapter)


@dataclass(frozen=True)
class Shown:
    """A film as a page shows it; wants its chapters read along."""

    film: Film
    name: str  # of the hilt or blade

    @property
    def chapters(self) -> list[ChapterRow]:
        """Its chapters in their order."""
        return [ChapterRow(each) for each in self.film.chapters.all()]

    @property
    def length(self) -> str:
        """How long it is; empty where nobody knows."""
        return length(self.film.seconds) if self.film.seconds else ""

    @property
    def host(self) -> str:
        """Where a linked film lies."""
        return urlsplit(self.film.link).hostname or ""

    @property
    def size(self) -> str:
        """What it weighs to keep: 57 kB, 812 MB."""
        return weight(self.film.blob.size) if self.film.blob else ""

    @property
    def played(self) -> Blob | None:
        """What the player gets: the smaller copy as soon as there is one."""
        return self.film.smaller or self.film.blob


@dataclass(frozen=True)
class Half:
    """A film that has not come whole, or was not put in its place yet."""

    upload: Upload

    @property
    def percent(self) -> int:
        """How much of it is here."""
        return self.upload.received * 100 // self.upload.size

    @property
    def is_whole(self) -> bool:
        """Whether all of it is here."""
        return self.upload.received == self.upload.size

    @property
    def size(self) -> str:
        """How large it is."""
        return weight(self.upload.size)


@dataclass(frozen=True)
class FilmPage:
    """All that the page of a build's film shows."""

    build: Build
    shown: Shown | None
    shots: Shots
    halves: tuple[Half, ...] = ()

    @property
    def proposed(self) -> Shot | None:
        """The shot that the next chapter is likely of: the first without one, of those filmed."""
        done = {row.chapter.shot for row in self.shown.chapters} if self.shown else set()
        filmed = [shot for shot in self.shots.all if shot.tick] or self.shots.all
        last = max((at for at, shot in enumerate(filmed) if shot.code in done), default=-1)
        ahead = [*filmed[last + 1 :], *filmed]  # who skipped one goes on with what comes after
        return next((shot for shot in ahead if shot.code not in done), None)


def seen_as(chapter: Chapter) -> str:
    """A chapter as it stands on a page."""
    return f"{chapter.begins_ms}|{chapter.title}"


def weight(size: int) -> str:
    """A file's size as it is shown."""
    if size < 1_000_000:
        return f"{-(-size // 1000)} kB"
    if size < 9_950_000:
        return pointed(f"{size / 1_000_000:.1f} MB")
    return f"{round(size / 1_000_000)} MB"


def about(build: Build) -> str:
    """What an upload of a film is for."""
    return f"film:build:{build.pk}"


def films(build_ids: Iterable[int]) -> dict[int, Film]:
    """Build id → the film that stands, published or not, with its chapters."""
    return each_once(films, _films, build_ids)


def published_films(build_ids: Iterable[int]) -> dict[int, Film]:
    """Build id → the film that its customer may see; builds without one are left out."""
    found = films(build_ids)
    return {pk: film for pk, film in found.items() if film.published_at is not None}


def shown_films(builds: Sequence[Build]) -> dict[int, Shown]:
    """Build id → its film as its customer sees it, for those that may be seen."""
    found = published_films([build.pk for build in builds])
    return {b.pk: Shown(found[b.pk], called(b)) for b in builds if b.pk in found}


def film_page(build: Build) -> FilmPage:
    """The page of a build's film."""
    film = films([build.pk]).get(build.pk)
    rows = Upload.objects.filter(about=about(build), ended_at=None).select_related("begun_by")
    return FilmPage(
        build=build,
        shown=Shown(film, called(build)) if film else None,
        shots=shots_of(build),
        halves=tuple(Half(row) for row in rows.order_by("pk")),
    )


def called(build: Build) -> str:
    """What a film is of."""
    if build.hilt:
        return build.hilt.name
    return build.blade.name if build.blade else _("blade")


def _films(build_ids: list[int]) -> dict[int, Film]:
    chapters = Prefetch("chapters", Chapter.objects.order_by("begins_ms"))
    rows = Film.objects.filter(build__in=build_ids, ended_at=None).prefetch_related(chapters)
    joined = rows.select_related("blob", "smaller", "poster", "added_by")
    return {film.build_id: film for film in joined}


def file_name(film: Film, name: str) -> str:
    """What the film is called when somebody keeps it."""
    ending = _ENDINGS.get(film.blob.media_type if film.blob else "", "bin")
    plain = "-".join(re.findall(r"[a-z0-9]+", name.casefold())) or "hilt"
    return f"{plain}-{film.build.number:04d}-film.{ending}"


def send_part(
    request: HttpRequest, film: Film, what: str, kept_s: int | None = None
) -> HttpResponseBase:
    """Answer with a part of a film: play, download, poster, chapters.

    The caller has made sure that whoever asks may see it.
    """
    name = file_name(film, called(film.build))
    if what == "chapters":
        return _chapters(film)
    if what == "poster" and film.poster:
        response = send_rendition(request, film.poster, POSTER_SIDE)
        if kept_s is not None:
            response["Cache-Control"] = f"private, max-age={kept_s}"
        return response
    if what == "play" and film.blob:
        return show_file(request, film.smaller or film.blob, name, kept_s)
    if what == "download" and film.blob:
        response = send_file(request, film.blob, name)
        if kept_s is not None:
            response["Cache-Control"] = f"private, max-age={kept_s}"
        return response
    raise Http404


def _chapters(film: Film) -> HttpResponse:
    rows = film.chapters.order_by("begins_ms").values_list("begins_ms", "title")
    text = webvtt(list(rows), film.seconds)
    return HttpResponse(
        text,
        content_type="text/vtt; charset=utf-8",
        headers={"Cache-Control": "private, no-cache", "X-Content-Type-Options": "nosniff"},
    )
