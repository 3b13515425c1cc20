"""Makes files as owners have them, and takes them through the steps of an import."""

from collections.abc import Sequence
from datetime import datetime
from io import BytesIO
from typing import Any
from uuid import uuid4

from openpyxl import Workbook

from builds.importing.actions import begun, checking, keeping, undoing
from builds.importing.models import Import
from shop.people.models import User

Rows = Sequence[Sequence[Any]]


def xlsx(*sheets: Rows, titles: Sequence[str] = ()) -> bytes:
    """A workbook; each argument is the rows of a sheet."""
    book = Workbook()
    book.remove(book.active)
    for place, rows in enumerate(sheets):
        sheet = book.create_sheet(titles[place] if titles else f"Sheet {place + 1}")
        for row in rows:
            sheet.append(list(row))
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def csv_of(rows: Rows, delimiter: str = ",") -> str:
    """Text with separators, nothing quoted."""
    return "\n".join(delimiter.join(map(str, row)) for row in rows)


def begin(
    content: bytes, kind: str, by: User, now: datetime, name: str = "mine.xlsx", **choices: Any
) -> Import:
    """A file taken in and matched by its headings, waiting for its check."""
    one = begun.begin(content, name, kind, token=uuid4(), by=by, now=now)
    return begun.match(one.pk, one.mapping, choices, seen=one.stamp, now=now)


def checked(content: bytes, kind: str, by: User, now: datetime, **choices: Any) -> Import:
    """The same, checked."""
    one = begin(content, kind, by, now, **choices)
    checking.check(one.pk, now)
    return fresh(one)


def bring_in(content: bytes, kind: str, by: User, now: datetime, **choices: Any) -> Import:
    """The same, brought in."""
    one = checked(content, kind, by, now, **choices)
    return kept(one, by, now)


def kept(one: Import, by: User, now: datetime, again: bool = False) -> Import:
    """A checked import, confirmed and brought in."""
    keeping.confirm(one.pk, seen=one.stamp, again=again, by=by, now=now)
    keeping.keep(one.pk, now)
    return fresh(one)


def undone(one: Import, by: User, now: datetime) -> Import:
    """A kept import, taken back."""
    undoing.take_back(one.pk, by=by, now=now)
    undoing.undo(one.pk, now)
    return fresh(one)


def fresh(one: Import) -> Import:
    """The import as it stands now."""
    return Import.objects.get(pk=one.pk)


def said(one: Import) -> dict[tuple[int, str], list[str]]:
    """Row and field → what was said of it and stops the import."""
    found: dict[tuple[int, str], list[str]] = {}
    for each in one.findings.filter(stops=True):
        found.setdefault((each.row, each.field), []).append(each.sentence)
    return found
