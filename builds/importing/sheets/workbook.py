"""Workbooks (XLSX): looked at as a container first, then read row by row."""

import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO

from openpyxl import load_workbook
from openpyxl.workbook.workbook import Workbook

from builds.importing.sheets import refused
from builds.importing.sheets.rows import Row, plain

ZIP, OLD = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"
_LAST_ROW = 1_048_576  # what the format knows; a row that says more is damaged
_MOST_PARTS = 2_000


def check(data: bytes) -> None:
    """Refuse what is no workbook, or unpacks to more than is read; nothing is unpacked for it.

    The sizes that a container states bind: more than that is never read out of a part.
    """
    try:
        with zipfile.ZipFile(BytesIO(data)) as container:
            parts = container.infolist()
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as error:
        raise refused.not_whole() from error
    if "xl/workbook.xml" not in {part.filename for part in parts}:
        raise refused.not_a_sheet()
    if len(parts) > _MOST_PARTS or sum(part.file_size for part in parts) > refused.MOST_UNPACKED:
        raise refused.unpacks_too_far()


@contextmanager
def opened(data: bytes) -> Iterator[Workbook]:
    """The workbook, to be read; values that its program worked out, never formulas."""
    check(data)
    try:
        book = load_workbook(BytesIO(data), read_only=True, data_only=True, keep_links=False)
    except Exception as error:  # of a foreign format the reader raises whatever it stumbles over
        raise refused.not_whole() from error
    try:
        yield book
    finally:
        book.close()


def sheet_names(data: bytes) -> list[str]:
    """The sheets of a workbook, in their order."""
    with opened(data) as book:
        return [sheet.title for sheet in book.worksheets]


def rows(data: bytes, name: str) -> Iterator[Row]:
    """Every row of a sheet that holds anything.

    :raises NotReadable: no such sheet, or it is damaged inside.
    """
    with opened(data) as book:
        sheet = next((each for each in book.worksheets if each.title == name), None)
        if sheet is None:
            raise refused.no_such_sheet()
        sheet.reset_dimensions()  # what a file says of its size is often wrong
        # No last row is named: the reader would fill up to it with empty ones.
        found = sheet.iter_rows(max_col=refused.MOST_COLUMNS + 1, values_only=True)
        for number in range(1, _LAST_ROW + 1):
            try:
                cells = next(found)
            except StopIteration:
                return
            except Exception as error:  # as above
                raise refused.not_whole() from error
            if cells.count(None) < len(cells):
                yield Row(number, tuple(plain(cell) for cell in cells))
