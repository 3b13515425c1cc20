"""How a file is read: what it is, what can be chosen, its rows below the headings."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice

from builds.importing.sheets import refused, text, workbook
from builds.importing.sheets.rows import Row, Sheet, is_blank, text_of
from builds.importing.states import Reading

_HEADER_WITHIN = 15


@dataclass(frozen=True)
class Look:
    """What a first look at a file found: its sheets, and how it is probably read."""

    sheets: tuple[str, ...]
    reading: Reading


def look(data: bytes) -> Look:
    """Look at a file for the first time.

    :raises NotReadable: with one sentence.
    """
    if not data:
        raise refused.empty()
    if len(data) > refused.MOST_BYTES:
        raise refused.too_large()
    if data.startswith(workbook.OLD):
        raise refused.old_or_locked()
    if data.startswith(workbook.ZIP):
        return _of_a_workbook(data)
    encoding = text.guess_encoding(data)
    delimiter = text.guess_delimiter(text.decode(data, encoding))
    return Look((), _with_header(data, Reading(encoding, delimiter)))


def _of_a_workbook(data: bytes) -> Look:
    names = workbook.sheet_names(data)
    if not names:
        raise refused.empty()
    for name in names:
        try:
            return Look(tuple(names), _with_header(data, Reading(sheet=name)))
        except refused.NotReadable:
            if name == names[-1]:
                raise
    raise refused.empty()


def _with_header(data: bytes, reading: Reading) -> Reading:
    first = [row for row in top(data, reading, _HEADER_WITHIN) if row.cells]
    if not first:
        raise refused.empty()
    best = max(first, key=_like_headings)
    return Reading(reading.encoding, reading.delimiter, reading.sheet, best.number)


def _like_headings(row: Row) -> tuple[int, int]:
    # Headings are words, each another one; of several such rows the first.
    words = {cell for cell in row.cells if isinstance(cell, str) and not _has_digit(cell)}
    return len(words), -row.number


def _has_digit(cell: str) -> bool:
    return any(map(str.isdigit, cell))


def top(data: bytes, reading: Reading, many: int) -> list[Row]:
    """The first rows as they stand, for choosing the one with the headings."""
    return list(islice(_rows(data, reading), many))


def read(data: bytes, reading: Reading) -> Sheet:
    """Headings, and every row below them that holds anything.

    :raises NotReadable: too much of something, or damaged.
    """
    rows = _rows(data, reading)
    headers: tuple[str, ...] = ()
    for row in rows:
        if row.number == reading.header_row:
            headers = _headings(row)
            break
    if not any(headers):
        raise refused.no_header()
    kept = tuple(_bounded(rows))
    width = max((len(row.cells) for row in kept), default=0)
    return Sheet(headers + ("",) * (width - len(headers)), kept)


def _headings(row: Row) -> tuple[str, ...]:
    _check_width(row)
    return tuple(" ".join(text_of(cell).split())[:200] for cell in row.cells)


def _bounded(rows: Iterable[Row]) -> Iterator[Row]:
    many = cells = 0
    for row in rows:
        if not row.cells:
            continue
        _check_width(row)
        many, cells = many + 1, cells + len(row.cells)
        if many > refused.MOST_ROWS:
            raise refused.too_many_rows()
        if cells > refused.MOST_CELLS:
            raise refused.too_many_cells()
        yield row


def _rows(data: bytes, reading: Reading) -> Iterator[Row]:
    if reading.is_text:
        found = text.rows(text.decode(data, reading.encoding), reading.delimiter)
    else:
        found = workbook.rows(data, reading.sheet)
    for row in found:
        cells = row.cells[: _width(row)]
        if any(isinstance(cell, str) and len(cell) > refused.MOST_LETTERS for cell in cells):
            raise refused.too_long_a_cell(row.number)
        yield Row(row.number, cells)


def _check_width(row: Row) -> None:
    if len(row.cells) > refused.MOST_COLUMNS:
        raise refused.too_many_columns()


def _width(row: Row) -> int:
    """How many cells up to the last that holds anything."""
    filled = (place for place in range(len(row.cells), 0, -1) if not is_blank(row.cells[place - 1]))
    return next(filled, 0)
