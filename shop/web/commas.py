"""Rows as CSV that no spreadsheet takes for formulas: RFC 4180, UTF-8 without a mark before it.

A cell that begins with a sign by which spreadsheets begin a formula gets a quote before it;
figures of our own making are written as they are. No byte-order mark: programs that read a batch
take it for a part of the first heading.
"""

import csv
from collections.abc import Iterable, Sequence
from io import StringIO

# The last four are the wide forms of the first four, which some spreadsheets take as the same.
_FORMULA = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
_BLANKS = ("\t", "\r", "\n")


class Figure(str):
    """A cell of our own making, which is written as it is."""

    __slots__ = ()


def csv_text(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A heading and rows as the text of a CSV file."""
    out = StringIO()
    writer = csv.writer(out)  # its own form is that of RFC 4180: commas, CRLF, quotes where needed
    writer.writerow(head)
    for row in rows:
        writer.writerow([safe(cell) for cell in row])
    return out.getvalue()


def safe(text: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    if isinstance(text, Figure):
        return text
    is_formula = text.startswith(_BLANKS) or text.lstrip().startswith(_FORMULA)
    return "'" + text if is_formula else text
