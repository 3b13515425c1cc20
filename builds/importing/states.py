"""What a sheet may hold, where bringing it in stands, and the choices of how it is read."""

from dataclasses import dataclass

from django.db import models
from django.utils.translation import gettext_lazy as _


class Kind(models.TextChoices):
    """What the rows of a sheet are."""

    CUSTOMERS = "customers", _("customers")
    ORDERS = "orders", _("open orders")
    PARTS = "parts", _("parts")
    STOCK = "stock", _("stock")


# Rows at once. All are written in one transaction, and SQLite lets nobody else write meanwhile:
# each of these takes about ten seconds on a small machine, where others wait for at most twenty.
AT_ONCE = {Kind.CUSTOMERS: 10_000, Kind.ORDERS: 300, Kind.PARTS: 3_000, Kind.STOCK: 5_000}


class State(models.TextChoices):
    """Where it stands. Those that end in -ing are the worker's; a sweep takes them up again."""

    MATCHING = "matching", _("columns to be matched")
    CHECKING = "checking", _("being checked")
    CHECKED = "checked", _("checked")
    KEEPING = "keeping", _("being brought in")
    KEPT = "kept", _("brought in")
    UNDOING = "undoing", _("being taken back")
    UNDONE = "undone", _("taken back")
    DROPPED = "dropped", _("given up")


AT_WORK = (State.CHECKING, State.KEEPING, State.UNDOING)
OPEN = (State.MATCHING, State.CHECKING, State.CHECKED)
IN_THE_BOOKS = (State.KEEPING, State.KEPT, State.UNDOING)


class Decimals(models.TextChoices):
    """How the sheet writes a sum."""

    POINT = "point", "1,234.50"
    COMMA = "comma", "1.234,50"


class DayOrder(models.TextChoices):
    """How the sheet writes a day with slashes or points; 2026-12-14 is read in any case."""

    DMY = "dmy", _("14/12/2026: day first")
    MDY = "mdy", _("12/14/2026: month first")


class Doubles(models.TextChoices):
    """What becomes of a row that is there already."""

    STOP = "stop", _("show me each one first")
    OURS = "ours", _("use the one we have, leave the row out")


class How(models.TextChoices):
    """What one import did with one thing."""

    NEW = "new", _("new")
    FOUND = "found", _("found again")
    CHANGED = "changed", _("changed")


@dataclass(frozen=True)
class Reading:
    """How to read a file. Of a workbook the sheet counts, of text the other two."""

    encoding: str = ""
    delimiter: str = ""
    sheet: str = ""
    header_row: int = 1

    @property
    def is_text(self) -> bool:
        """Whether the file is text, not a workbook."""
        return bool(self.encoding)
