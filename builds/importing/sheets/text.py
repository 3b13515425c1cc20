"""Comma separated text: its characters and its separator found out, its rows."""

import codecs
import csv
from collections.abc import Iterator
from io import StringIO

from builds.importing.sheets import refused
from builds.importing.sheets.rows import Row, plain

ENCODINGS = ("utf-8", "utf-16", "cp1252")
DELIMITERS = (",", ";", "\t", "|")
_LOOK = 40  # rows that say which separator it is
_PYTHONS = {"utf-8": "utf-8-sig", "cp1252": "cp1252"}


def decode(data: bytes, encoding: str) -> str:
    """The text, by a chosen encoding.

    :raises NotReadable: it is not written so.
    """
    try:
        text = data.decode(_python_name(data, encoding))
    except (UnicodeDecodeError, LookupError) as error:
        raise refused.other_alphabet() from error
    if "\x00" in text:
        raise refused.not_a_sheet()
    return text.removeprefix("\ufeff")


def _python_name(data: bytes, encoding: str) -> str:
    if encoding != "utf-16" or data[:2] in {codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE}:
        return _PYTHONS.get(encoding, encoding)
    return "utf-16-be" if data[:1] == b"\x00" else "utf-16-le"


def guess_encoding(data: bytes) -> str:
    """Which encoding a text is written in: by its mark, else by what it can be.

    :raises NotReadable: it is no text.
    """
    if data[:2] in {codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE} or _is_every_other_nul(data):
        return "utf-16"
    for encoding in ("utf-8", "cp1252"):
        try:
            text = decode(data, encoding)
        except refused.NotReadable:
            continue
        if _reads_like_text(text):
            return encoding
    raise refused.not_a_sheet()


def _is_every_other_nul(data: bytes) -> bool:
    start = data[:400]
    halves = start[0::2].count(0), start[1::2].count(0)
    return len(start) > 3 and max(halves) > len(start) * 0.3 and min(halves) < len(start) * 0.05


def _reads_like_text(text: str) -> bool:
    start = text[:20_000]
    odd = sum(not sign.isprintable() and sign not in "\r\n\t" for sign in start)
    return odd <= len(start) * 0.01


def guess_delimiter(text: str) -> str:
    """The separator that cuts the first rows into most columns, alike in most rows."""
    return max(DELIMITERS, key=lambda sign: _evenness(text, sign))


def _evenness(text: str, delimiter: str) -> float:
    try:
        widths = [len(row) for row in _first(text, delimiter) if any(row)]
    except csv.Error:
        return 0
    if not widths or max(widths) < 2:
        return 0
    usual = max(set(widths), key=widths.count)
    return widths.count(usual) / len(widths) * (usual > 1) * min(usual, 20)


def _first(text: str, delimiter: str) -> list[list[str]]:
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter)
    return [row for row, _number in zip(reader, range(_LOOK), strict=False)]


def rows(text: str, delimiter: str) -> Iterator[Row]:
    """Every row, empty ones too; a row with line breaks inside a cell is one row.

    :raises NotReadable: a cell that no program could hold.
    """
    # Python's own limit is of the whole process and larger than a cell may be: ours counts.
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter)
    number = 0
    while True:
        number += 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise refused.too_long_a_cell(number) from error
        yield Row(number, tuple(plain(cell) for cell in cells))
