"""Rows and cells as values, numbered as the owner's own program numbers them."""

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

Value = str | int | float | bool | date | None


@dataclass(frozen=True)
class Row:
    """One row: its number in the sheet, and its cells from column A on."""

    number: int
    cells: tuple[Value, ...]

    def at(self, column: int) -> Value:
        """The cell of a column; rows may end early."""
        return self.cells[column] if column < len(self.cells) else None


@dataclass(frozen=True)
class Sheet:
    """What is brought in: headings, and the rows below them that hold anything."""

    headers: tuple[str, ...]
    rows: tuple[Row, ...]


def plain(value: object) -> Value:
    """A cell as a workbook gives it, as one of our values."""
    if isinstance(value, str):
        return value.replace("\u00a0", " ").replace("\r\n", "\n").strip() or None
    if isinstance(value, datetime):
        # A day with midnight is a day; a moment of it is kept as the day, too.
        return value.date()
    if value is None or isinstance(value, bool | int | float | date):
        return value
    if isinstance(value, time | timedelta):
        return str(value)
    return str(value)


def is_blank(value: Value) -> bool:
    """Whether a cell holds nothing."""
    return value is None or value == ""


def text_of(value: Value) -> str:
    """A cell as it is shown: 12 and not 12.0, a day as 2026-12-14."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.15g}" if abs(value) < 1e15 else repr(value)
    if isinstance(value, date):
        return value.isoformat()
    return str(value)


def letter(column: int) -> str:
    """A column's letters: 0 is A, 26 is AA."""
    letters = ""
    rest = column + 1
    while rest:
        rest, place = divmod(rest - 1, 26)
        letters = chr(65 + place) + letters
    return letters
