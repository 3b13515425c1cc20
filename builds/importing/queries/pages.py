"""What the pages of an import show: samples of its columns, problems by row, what it came to."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Count
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from builds.importing.columns import fields
from builds.importing.models import Finding, Import
from builds.importing.queries.files import content_of
from builds.importing.queries.found import findings
from builds.importing.sheets import Row, letter, text_of, top
from shop.web.commas import csv_text

_LOOK, _SHOWN, _SAMPLES = 60, 6, 3


@dataclass(frozen=True)
class Top:
    """The beginning of a file: rows as they stand, and three values of each column."""

    rows: list[tuple[int, list[str]]]
    samples: list[list[str]]

    @property
    def letters(self) -> list[str]:
        """What the columns are called in the owner's program."""
        width = max((len(cells) for _number, cells in self.rows), default=0)
        return [letter(place) for place in range(width)]


def top_of(one: Import) -> Top:
    """The beginning of a file.

    :raises NotReadable: it cannot be read so, or is not there any more.
    """
    rows = top(content_of(one), one.reading, one.header_row + _LOOK)
    width = max((len(row.cells) for row in rows), default=0)
    below = [row for row in rows if row.number > one.header_row]
    first = max(1, one.header_row - 2)
    shown = [row for row in rows if row.number >= first][:_SHOWN]
    return Top(
        [(row.number, [text_of(cell)[:60] for cell in row.cells]) for row in shown],
        [_samples(below, column) for column in range(width)],
    )


def _samples(rows: Sequence[Row], column: int) -> list[str]:
    found: list[str] = []
    for row in rows:
        text = " ".join(text_of(row.at(column)).split())[:60]
        if text and text not in found:
            found.append(text)
        if len(found) == _SAMPLES:
            break
    return found


@dataclass(frozen=True)
class Column:
    """A column of the sheet that no field takes."""

    letter: str
    heading: str
    samples: Sequence[str]


def unused(one: Import, samples: Sequence[Sequence[str]]) -> list[Column]:
    """The columns that are left out."""
    used = {source.get("column") for source in one.mapping.values()}
    left = [
        Column(letter(place), heading, _at(samples, place))
        for place, heading in enumerate(one.headers)
        if place not in used
    ]
    return [column for column in left if column.heading or column.samples]


def _at(samples: Sequence[Sequence[str]], place: int) -> Sequence[str]:
    return samples[place] if place < len(samples) else ()


@dataclass(frozen=True)
class Said:
    """A finding as the page and the CSV show it."""

    row: str
    letter: str
    heading: str
    value: str
    sentence: str
    stops: bool


def said(one: Import, rows: Sequence[Finding]) -> list[Said]:
    """Findings with the heading of their column, as the owner knows it."""
    known = fields(one.kind)
    return [
        Said(
            str(each.row) if each.row else _("every"),
            letter(each.column) if each.column is not None else "",
            _heading(one, each, known),
            each.value,
            each.sentence,
            each.stops,
        )
        for each in rows
    ]


def _heading(one: Import, each: Finding, known: dict[str, Any]) -> str:
    if each.column is not None and each.column < len(one.headers) and one.headers[each.column]:
        return str(one.headers[each.column])
    field = known.get(each.field)
    return capfirst(str(field.label)) if field else _("the whole row")


@dataclass(frozen=True)
class Tab:
    """The findings of one field, and how many they are."""

    field: str
    label: str
    count: int


def tabs(one: Import) -> list[Tab]:
    """Which fields are in trouble, most first."""
    known = fields(one.kind)
    rows = one.findings.filter(stops=True).order_by().values_list("field").annotate(Count("pk"))
    found = [
        Tab(name, capfirst(str(known[name].label)) if name in known else _("Whole rows"), many)
        for name, many in rows
    ]
    return sorted(found, key=lambda tab: (-tab.count, tab.label))


def rows_in_trouble(one: Import) -> int:
    """How many rows have a problem."""
    return one.findings.filter(stops=True).values("row").distinct().count()


def findings_csv(one: Import) -> str:
    """All findings, to be worked through beside the sheet; no cell of it is a formula."""
    head = [
        _("row"), _("column"), _("heading"), _("what stands there"), _("what to do"), _("stops it")
    ]  # fmt: skip
    rows = [
        (str(each.row), each.letter, each.heading, each.value, each.sentence, _yes(each.stops))
        for each in said(one, list(findings(one)))
    ]
    return "\ufeff" + csv_text(head, rows)


def _yes(stops: bool) -> str:
    return _("yes") if stops else _("no")
