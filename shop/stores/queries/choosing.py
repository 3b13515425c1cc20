"""Parts to choose from by kind and name, and what a scanned label means."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID, uuid4

from django.urls import Resolver404, resolve

from shop.stores.kinds import FOR_PACKING
from shop.stores.models import Part
from shop.stores.queries.known import figures
from shop.stores.queries.levels import amount
from shop.stores.queries.shelf import Told, found, telling

AT_ONCE = 12  # parts offered: more is a text that says too little
MOST_ALIKE = 40
_LABEL = re.compile(r"p\s*0*(\d{1,9})", re.IGNORECASE)
_ADDRESS = re.compile(r"^[a-z]+://[^/]+(/.*)$", re.IGNORECASE)


@dataclass(frozen=True)
class Choice:
    """A part to choose, with the figures that tell it from others and what is free of it."""

    part: Part
    told: tuple[Told, ...]
    free: str
    token: UUID


def choices(kind: str, text: str, length_unit: str) -> list[Choice]:
    """Parts for builds, of a kind, whose name begins with a text; none where neither is given."""
    wanted = text.replace("\x00", "").strip()
    if not kind and not wanted:
        return []
    fitting = found(wanted, kind, "").exclude(kind__in=FOR_PACKING)
    return _told(fitting[:AT_ONCE], length_unit)


def alike(part: Part, length_unit: str) -> list[Choice]:
    """Other parts of the same kind, to swap one for."""
    return _told(found("", part.kind, "").exclude(pk=part.pk)[:MOST_ALIKE], length_unit)


def _told(rows: Iterable[Part], length_unit: str) -> list[Choice]:
    parts = list(rows)
    known = figures(parts)
    return [
        Choice(
            part=part,
            told=telling(part, known[part.pk], length_unit),
            free=amount(part, part.level.free),
            token=uuid4(),
        )
        for part in parts
    ]


def scanned(text: str) -> Part | None:
    """The part whose label was scanned or typed: "P0042", or the address that its code holds."""
    bare = text.strip()
    label = _LABEL.fullmatch(bare)
    if label:
        return Part.objects.filter(number=int(label[1])).first()
    address = _ADDRESS.match(bare)
    return _at(address[1]) if address else None


def _at(path: str) -> Part | None:
    try:
        found = resolve(path.partition("?")[0].partition("#")[0])
    except Resolver404:
        return None
    if found.url_name != "stores_part":
        return None
    return Part.objects.filter(**found.kwargs).first()
