"""All that the page of a build's hand-over shows: one query module a section."""

from dataclasses import dataclass
from datetime import datetime

from builds.handover.queries import gestures
from builds.handover.queries.after_care import AfterCare, after_care
from builds.handover.queries.booklet_page import BookletPart, booklet_part
from builds.handover.queries.films import FilmPage, film_page
from builds.progress.models import Build
from shop.house.queries import house


@dataclass(frozen=True)
class HandOver:
    """What its owner is to be told of one build, in finished data."""

    build: Build
    film: FilmPage
    told: gestures.Told
    booklet: BookletPart
    after_care: AfterCare


def hand_over(build: Build, now: datetime) -> HandOver:
    """The page as it stands at a moment."""
    return HandOver(
        build,
        film=film_page(build),
        told=gestures.told(build),
        booklet=booklet_part(build, house(), now),
        after_care=after_care(build, now),
    )
