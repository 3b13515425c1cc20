"""Reads the films of builds: the one that counts, and what is published of it."""

from collections.abc import Iterable

from builds.handover.models import Film
from shop.web.reading import each_once


def films(build_ids: Iterable[int]) -> dict[int, Film]:
    """Build id → the film that stands, published or not."""
    return each_once(films, _films, build_ids)


def published_films(build_ids: Iterable[int]) -> dict[int, Film]:
    """Build id → the film that its customer may see; builds without one are left out."""
    found = films(build_ids)
    return {pk: film for pk, film in found.items() if film.published_at is not None}


def _films(build_ids: list[int]) -> dict[int, Film]:
    rows = Film.objects.filter(build__in=build_ids, ended_at=None)
    return {film.build_id: film for film in rows.select_related("blob", "smaller", "poster")}
