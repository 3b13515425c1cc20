"""Reads history."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from shop.history.models import Entry
from shop.history.words import sentence

A_LOT = 400  # asked for at once
CLOCK_AND_CUSTOMER = ""  # nobody of the staff


@dataclass(frozen=True)
class Line:
    """One deed as a person reads it: when, who of the staff (or ''), and what."""

    at: datetime
    who: str
    text: str


def entries_about(about: str, limit: int = 50) -> list[Line]:
    """What was done about something, the newest first, in one query.

    :param about: the key that history knows it by, as ``build:142``.
    """
    found = Entry.objects.filter(about=about).select_related("actor").order_by("-at", "-pk")
    return [_line(entry) for entry in found[:limit]]


def last_about(about: str) -> Entry | None:
    """The newest deed about something: a form that carries its id notices who was first."""
    return Entry.objects.filter(about=about).select_related("actor").order_by("-pk").first()


def first_since(abouts: Sequence[str], after: datetime) -> dict[str, Line]:
    """The first deed after a moment about each of some things; those left alone are not in it."""
    found: dict[str, Line] = {}
    for start in range(0, len(abouts), A_LOT):
        some = abouts[start : start + A_LOT]
        rows = Entry.objects.filter(about__in=some, at__gt=after).select_related("actor")
        for entry in rows.order_by("pk"):
            found.setdefault(entry.about, _line(entry))
    return found


def _line(entry: Entry) -> Line:
    who = entry.actor.name if entry.actor else CLOCK_AND_CUSTOMER
    return Line(entry.at, who, sentence(entry.verb, entry.parameters))


def made_once(token: UUID) -> str:
    """What a form with this token made before, as ``build:142``; empty when it is new."""
    entry = Entry.objects.filter(about=f"once:{token}", verb="once").first()
    return str(entry.parameters["made"]) if entry else ""
