"""Files that are no sheets, or too much of one: each gets one plain sentence."""

import zipfile
from io import BytesIO

import pytest

from builds.importing.sheets import NotReadable, look, read
from tests.importing.sheets import xlsx

JPEG = b"\xff\xd8\xff\xe0\x00\x10JFIF\x00" + bytes(range(256)) * 60


def _zip(**parts: bytes) -> bytes:
    out = BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as container:
        for name, content in parts.items():
            container.writestr(name.replace("__", "/"), content)
    return out.getvalue()


def _with(name: str, content: bytes) -> bytes:
    """A sound workbook with one part of it replaced."""
    out = BytesIO()
    with (
        zipfile.ZipFile(BytesIO(xlsx([["Name"], ["Wren"]]))) as sound,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as container,
    ):
        for part in sound.namelist():
            container.writestr(part, content if part == name else sound.read(part))
    return out.getvalue()


SHEET = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
ENTITIES = (
    b'<!DOCTYPE lolz [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    + SHEET
    + b'<row r="1"><c r="A1" t="inlineStr"><is><t>&b;</t></is></c></row></sheetData></worksheet>'
)
HUGE = b"a" * (10 * 1024 * 1024)
WIDE = [f"h{place}" for place in range(16_384)]
CASES = {
    "no bytes": (b"", "nothing in this sheet"),
    "a JPEG": (JPEG, "no spreadsheet"),
    "binary": (bytes(range(256)) * 40, "no spreadsheet"),
    "a truncated workbook": (xlsx([["Name"], ["Wren"]])[:-400], "did not come whole"),
    "a zip of something else": (_zip(readme=b"hello"), "no spreadsheet"),
    "an old workbook": (b"\xd0\xcf\x11\xe0" + bytes(600), "old .xls"),
    "a bomb": (_with("xl/worksheets/sheet1.xml", bytes(90 * 1024 * 1024)), "unpacks to more"),
    "entities": (_with("xl/worksheets/sheet1.xml", ENTITIES), "did not come whole"),
    "damaged inside": (_with("xl/worksheets/sheet1.xml", SHEET + b"<row"), "did not come whole"),
    "no workbook inside": (_with("xl/workbook.xml", b"<nothing/>"), "nothing in this sheet"),
    "a cell of 10 MB as text": (b"name\n" + HUGE, "larger than 10 MB"),
    "a cell of 9 MB as text": (b"name,b\n" + HUGE[: 9 * 1024 * 1024], "holds more than"),
    "a cell of 10 MB": (
        _with(
            "xl/worksheets/sheet1.xml",
            SHEET
            + b'<row r="1"><c r="A1" t="inlineStr"><is><t>'
            + HUGE
            + b"</t></is></c></row></sheetData></worksheet>",
        ),
        "holds more than",
    ),
    "a quotation mark that is never closed": (
        b'name,town\n"Wren,Northwick\n' + b"Ines,Northwick\n" * 9_000,
        "quotation mark",
    ),
    "16,384 columns": (xlsx([WIDE, WIDE]), "more than 200 columns"),
    "16,384 columns of text": (",".join(WIDE).encode(), "more than 200 columns"),
    "a workbook with nothing in it": (xlsx([[]]), "nothing in this sheet"),
    "blank lines": (b"\n\n\n\n", "nothing in this sheet"),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_junk_gets_one_sentence(case: str) -> None:
    content, words = CASES[case]
    with pytest.raises(NotReadable, match=words) as refused:
        read(content, look(content).reading)
    assert str(refused.value).count("\n") == 0


def test_too_many_rows_are_refused() -> None:
    content = ("name,town\n" + "Wren,Northwick\n" * 10_001).encode()
    with pytest.raises(NotReadable, match="more than 10,000 rows"):
        read(content, look(content).reading)


def test_a_row_that_says_it_is_the_billionth_holds_nothing_up() -> None:
    far = SHEET + (
        b'<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c></row>'
        b'<row r="999999999999"><c r="A999999999999" t="inlineStr"><is><t>x</t></is></c></row>'
        b"</sheetData></worksheet>"
    )
    content = _with("xl/worksheets/sheet1.xml", far)
    assert read(content, look(content).reading).rows == ()
