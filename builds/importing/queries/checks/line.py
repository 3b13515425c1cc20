"""One row under check: its fields by the mapping, and the list that its problems go to."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar

from django.utils.translation import gettext as _

from builds.importing import values
from builds.importing.sheets import Row, Sheet, Value, is_blank, text_of
from shop.house.models import House

T = TypeVar("T")
TICK = 250
ALL_ROWS = 0  # what is wrong with a fixed value is wrong in every row


@dataclass(frozen=True)
class Options:
    """How cells are understood, and the shop that they come to."""

    mapping: Mapping[str, Mapping[str, Any]]
    headers: tuple[str, ...]
    decimals: str
    day_order: str
    length_unit: str
    uses_ours: bool
    currency: str
    file_name: str
    shop: House
    now: datetime
    # Told now and then how many rows are read, for the page to show.
    tick: Callable[[int], None]


@dataclass(frozen=True)
class Trouble:
    """Something said of a cell, or of a whole row; it stops the import or is only told."""

    row: int
    column: int | None
    field: str
    value: str
    sentence: str
    stops: bool = True


@dataclass(frozen=True)
class Wish:
    """What one row would make; ``found`` is what the shop has of it already."""

    row: int
    facts: dict[str, Any]
    found: Any = None
    changes: bool = False


@dataclass
class Plan:
    """All wishes of a sheet, in its order, and all that is wrong with it."""

    wishes: list[Wish] = field(default_factory=list)
    troubles: list[Trouble] = field(default_factory=list)
    # Fields whose fixed value is wrong: said once, not for every row.
    fixed_wrong: set[str] = field(default_factory=set)

    @property
    def stops(self) -> int:
        """How many problems keep it from being brought in."""
        return sum(each.stops for each in self.troubles)

    @property
    def found(self) -> int:
        """How many rows are there already."""
        return sum(each.found is not None and not each.changes for each in self.wishes)

    @property
    def changed(self) -> int:
        """How many rows would change what is there."""
        return sum(each.changes for each in self.wishes)

    @property
    def new(self) -> int:
        """How many rows would make something new."""
        return sum(each.found is None and not each.changes for each in self.wishes)


class Line:
    """A row by the names of our fields."""

    def __init__(self, row: Row, options: Options, plan: Plan) -> None:
        self.row, self.options, self.plan = row, options, plan
        self.is_sound = True

    def raw(self, name: str) -> Value:
        """The cell of a field, or the fixed value in its place; None where there is none."""
        source = self.options.mapping.get(name, {})
        if "column" in source:
            cell = self.row.at(source["column"])
            return None if is_blank(cell) else cell
        return source.get("fixed") or None

    def take(self, name: str, read: Callable[[Value], T]) -> T | None:
        """The field as a value; None where it is empty, or wrong and written down so."""
        value = self.raw(name)
        if value is None:
            return None
        try:
            values.check_error(value)
            return read(value)
        except ValueError as error:
            self.say(name, str(error))
            return None

    def need(self, name: str, read: Callable[[Value], T]) -> T | None:
        """The same for a field that may not be empty."""
        if self.raw(name) is None:
            self.say(name, _("This is needed and empty."))
            return None
        return self.take(name, read)

    def text(self, name: str, most: int) -> str:
        """One line of text; empty where there is none."""
        return self.take(name, lambda value: values.words(value, most, lines=False)) or ""

    def lines(self, name: str, most: int = 2000) -> str:
        """Text of several lines."""
        return self.take(name, lambda value: values.words(value, most, lines=True)) or ""

    def say(self, name: str, sentence: str, *, stops: bool = True) -> None:
        """Write down what is to be said of a field of this row."""
        self.is_sound = self.is_sound and not stops
        source = self.options.mapping.get(name, {})
        row = ALL_ROWS if "fixed" in source else self.row.number
        if row == ALL_ROWS:
            if name in self.plan.fixed_wrong:
                return
            self.plan.fixed_wrong.add(name)
        value = text_of(self.raw(name))[:120]
        self.plan.troubles.append(
            Trouble(row, source.get("column"), name, value, sentence[:400], stops)
        )

    def double(self, name: str, sentence: str) -> None:
        """Something that is there already: told where it is to be used, else a problem."""
        ours = self.options.uses_ours
        way_out = "" if ours else " " + _("Take the row out, or choose to use the one we have.")
        self.say(name, sentence + way_out, stops=not ours)


def lines_of(sheet: Sheet, options: Options, plan: Plan) -> Iterator[Line]:
    """Every row to be checked."""
    for done, row in enumerate(sheet.rows):
        if done % TICK == 0:
            options.tick(done)
        yield Line(row, options, plan)
