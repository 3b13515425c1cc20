"""Reading: characters and separators found out, headings found, rows numbered as in a sheet."""

from datetime import date, datetime

import pytest

from builds.importing.sheets import Reading, letter, look, read, text_of
from tests.importing.sheets import Rows, csv_of, xlsx

ROWS: Rows = [["Name", "Town"], ["Søren Ågård", "Northwick"], ["Ines", "Eastmere"]]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
def test_characters_and_separator_are_found_out(encoding: str, delimiter: str) -> None:
    content = csv_of(ROWS, delimiter).encode(encoding)
    seen = look(content).reading
    assert seen.delimiter == delimiter
    sheet = read(content, seen)
    assert sheet.headers == ("Name", "Town")
    assert [row.cells for row in sheet.rows] == [tuple(row) for row in ROWS[1:]]


def test_rows_are_numbered_as_in_the_owners_program() -> None:
    content = b'Name,Note\n\nWren,"two\nlines"\n,\nInes,x\n'
    sheet = read(content, look(content).reading)
    assert [row.number for row in sheet.rows] == [3, 5]
    book = xlsx([["Name", "Note"], [], ["Wren", "x"], [None, None], ["Ines", "y"]])
    assert [row.number for row in read(book, look(book).reading).rows] == [3, 5]


def test_headings_are_found_below_a_title() -> None:
    content = xlsx([["Customers 2026"], [], ["Name", "E-mail", "Town"], ["Wren", "w@example.com"]])
    assert look(content).reading.header_row == 3


def test_the_first_sheet_with_anything_in_it_is_read() -> None:
    content = xlsx([[]], ROWS, titles=["empty", "people"])
    seen = look(content)
    assert seen.sheets == ("empty", "people")
    assert seen.reading.sheet == "people"


def test_cells_keep_what_they_are() -> None:
    day = datetime(2026, 12, 14)
    content = xlsx([["a", "b", "c", "d"], [day, 12.0, 0.1 + 0.2, True]])
    (row,) = read(content, look(content).reading).rows
    assert row.cells[0] == date(2026, 12, 14)
    assert [text_of(cell) for cell in row.cells] == ["2026-12-14", "12", "0.3", "yes"]


def test_another_row_of_headings_can_be_chosen() -> None:
    content = csv_of([["a", "b"], ["Name", "Town"], ["Wren", "Northwick"]]).encode()
    assert read(content, Reading("utf-8", ",", "", 2)).headers == ("Name", "Town")


def test_columns_have_their_letters() -> None:
    assert [letter(place) for place in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]
