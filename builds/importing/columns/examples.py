"""Example sheets, one a kind, made here: headings that are matched by themselves, three rows."""

from io import BytesIO
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from builds.importing.states import Kind

_PEOPLE = [
    ["Wren", "Wren Aldous", "wren@example.com", "01632 960101",
     "7 Mill Row", "Northwick", "NW0 1AA"],
    ["Ines", "Ines Calder", "ines@example.com", "01632 960102",
     "2 Weir Lane", "Northwick", "NW0 2BB"],
    ["Tam", "Tam Ferrow", "tam@example.com", "01632 960103",
     "The Old Forge", "Eastmere", "EM0 3CC"],
]  # fmt: skip
_ROWS: dict[str, list[list[Any]]] = {
    Kind.CUSTOMERS: [
        ["Called", "Full name", "E-mail", "Telephone", "Postal address", "Town", "Postcode",
         "Country", "Note"],
        [*_PEOPLE[0], "GB", "prefers mail"],
        [*_PEOPLE[1], "GB", ""],
        [*_PEOPLE[2], "GB", "collects in person"],
    ],
    Kind.ORDERS: [
        ["Full name", "E-mail", "Kind of job", "Hilt", "What is wanted", "Leaves",
         "Price, as agreed", "Customer's reference"],
        ["Wren Aldous", "wren@example.com", "full install", "Quiet Harbour",
         "two switches, warm white", "by post", "420, half paid", "WA-17"],
        ["Ines Calder", "ines@example.com", "repair", "Long Weir", "no sound", "by post", "", ""],
        ["Tam Ferrow", "tam@example.com", "blade only", "", "blade 914 mm", "collected in person",
         "95", ""],
    ],
    Kind.PARTS: [
        ["Kind", "Name", "Supplier", "Supplier's number for it", "Cost", "Price", "Who says so",
         "Diameter (mm)", "Depth (mm)", "Length (mm)", "Resistance (ohm)", "Power at most (W)",
         "Continuous current at most (A)", "Capacity (mAh)", "Nominal voltage (V)",
         "Protection board on it", "Chemistry", "Thread"],
        ["speaker", "speaker 28 mm, 8 Ω", "Fenland Sounds", "FS-28", 3.2, 8.5, "data sheet",
         28, 8, None, 8, 3, None, None, None, None, None, None],
        ["cell", "cell 18 × 65, 3000 mAh", "Fenland Sounds", "FC-3000", 5.4, 12, "data sheet",
         18.6, None, 65.2, None, None, 15, 3000, 3.6, "no", "lithium ion", None],
        ["retention screw", "retention screw M4 × 6", "", "", 0.05, 0.5, "",
         None, None, 6, None, None, None, None, None, None, None, "M4 × 0.7"],
    ],
    Kind.STOCK: [
        ["Part", "How many", "Counted or received", "Why"],
        ["speaker 28 mm, 8 Ω", 12, "counted", "first count"],
        ["cell 18 × 65, 3000 mAh", 30, "counted", "first count"],
        ["retention screw M4 × 6", 200, "counted", "first count"],
    ],
}  # fmt: skip


def example(kind: str) -> bytes:
    """The example of a kind, as a workbook."""
    book = Workbook()
    sheet = book.active
    sheet.title = kind
    for row in _ROWS[kind]:
        sheet.append(row)
    for column, heading in enumerate(_ROWS[kind][0], start=1):
        sheet.cell(1, column).font = Font(bold=True)
        sheet.column_dimensions[get_column_letter(column)].width = max(12, len(heading) + 2)
    sheet.freeze_panes = "A2"
    out = BytesIO()
    book.save(out)
    return out.getvalue()
