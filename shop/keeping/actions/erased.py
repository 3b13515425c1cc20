"""The list of the erased, beside the back-ups: a restore must not bring anybody back.

It holds numbers and times and no name: which customer, since when known, erased when, and until
when papers may name them. An older back-up holds them still, until the rule takes it away.
"""

import json
import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from shop import env, folder
from shop.keeping import folders
from shop.people.models import Customer

NAME = "erased.json"


@dataclass(frozen=True)
class Erased:
    """Somebody who is to stay forgotten."""

    pk: int
    since: datetime
    erased_at: datetime
    until: date


def write_list() -> None:
    """Write the list beside the back-ups, in both folders; what older lists say stays on it."""
    here = {each.pk: each for each in _known()}
    for place in (env.data_dir(), folders.folder(), folders.second()):
        if place and place.is_dir() and os.access(place, os.W_OK):
            all_of_them = {each.pk: each for each in read_list(place)} | here
            if all_of_them:
                folder.write_private(place / NAME, _packed(all_of_them.values()))


def _known() -> list[Erased]:
    rows = Customer.objects.filter(erased_at__isnull=False)
    return [
        Erased(each.pk, each.since, each.erased_at, each.named_until)
        for each in rows
        if each.erased_at and each.named_until
    ]


def _packed(erased: Iterable[Erased]) -> bytes:
    rows = [
        {
            "id": each.pk,
            "since": each.since.isoformat(),
            "erased_at": each.erased_at.isoformat(),
            "named_until": each.until.isoformat(),
        }
        for each in sorted(erased, key=lambda each: each.pk)
    ]
    return json.dumps(rows, indent=1).encode() + b"\n"


def read_list(place: Path) -> list[Erased]:
    """Who is on the list in a folder; nobody where there is none, or it cannot be read."""
    try:
        rows = json.loads((place / NAME).read_bytes())
        return [
            Erased(
                int(row["id"]),
                datetime.fromisoformat(row["since"]),
                datetime.fromisoformat(row["erased_at"]),
                date.fromisoformat(row["named_until"]),
            )
            for row in rows
        ]
    except (OSError, ValueError, KeyError, TypeError):
        return []


def has_list(place: Path) -> bool:
    """Whether a list lies in a folder."""
    return (place / NAME).is_file()
