"""Parts to choose from by kind and name, and what a scanned label means."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID, uuid4

from django.urls import Resolver404, resolve

from shop.stores.models import Part, StockLevel
from shop.stores.queries.levels import amount

AT_ONCE = 12  # parts offered: more is a text that says too little
_LABEL = re.compile(r"p\s*0*(\d{1,9})", re.IGNORECASE)
_ADDRESS = re.compile(r"^[a-z]+://[^/]+(/.*)$", re.IGNORECASE)


@dataclass(frozen=True)
class Choice:
    """A part to choose, with what is free of it."""

    part: Part
    free: int
    token: UUID

    @property
    def free_shown(self) -> str:
        """What the stores have free of it."""
        return amount(self.part, self.free)


def choices(kind: str, text: str) -> list[Choice]:
    """Parts in use of a kind whose name holds a text; none where neither is given."""
    folded = text.replace("\x00", "").strip().casefold()
    if not kind and not folded:
        return []
    found = Part.objects.filter(retired=False)
    if kind:
        found = found.filter(kind=kind)
    if folded:
        found = found.filter(name_folded__contains=folded)
    return _with_levels(list(found[:AT_ONCE]))


def alike(part: Part) -> list[Choice]:
    """Other parts of the same kind, to swap one for."""
    found = Part.objects.filter(kind=part.kind, retired=False).exclude(pk=part.pk)
    return _with_levels(list(found[:50]))


def _with_levels(parts: Sequence[Part]) -> list[Choice]:
    levels = {row.part_id: row.free for row in StockLevel.objects.filter(part__in=parts)}
    return [Choice(part, levels.get(part.pk, 0), uuid4()) for part in parts]


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
