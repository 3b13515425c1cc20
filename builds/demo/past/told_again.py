"""Tells a bundle of rows again, so many weeks earlier, of somebody else.

Every value of the rows stands in one list of slots, those that stay first; a row is a choice of
slots. Telling it again makes the slots that change once and picks the rows out of the list, which
costs a fraction of what rows made one by one do.
"""

import json
import random
import re
from base64 import b32encode
from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from hashlib import sha256
from operator import itemgetter
from typing import Any
from uuid import UUID

from django.db import connection
from django.db.models import Field, ForeignKey, JSONField, Model

from builds.demo.past import names
from builds.demo.past.bundle import Bundle
from builds.demo.past.done_once import CALLED, FAMILY, HOUSE, PHONE
from builds.demo.past.writing import columns
from builds.models import Arrival, Build, Hilt, Parcel, Return
from shop.orders.models import Invoice, Order
from shop.people.models import Customer
from shop.post.models import Message, PrivateLink
from shop.stores.models import StockRow
from shop.web.prefix import plain

Slot = tuple[str, Any]  # how it is made, from what
_DAY = re.compile(r"\b\d{4}-\d{2}-\d{2}\b")
_KEY = re.compile(r"\b([a-z_]+):(\d+)\b")
_NAMED = re.compile(r'"(photo|message|item|arrival|parcel|hold)": (\d+)')
RETURNING = 0.4  # of those who come: they were here before
MOST_KNOWN = 5_000  # whom it remembers at a time
_UUIDS = 1 << 96  # where the tokens of the past begin: no random one lies so low


@dataclass
class Numbers:
    """The last numbers given out: of rows by table, of what has numbers of its own, of tokens."""

    rows: Counter[type[Model]] = field(default_factory=Counter)
    series: Counter[str] = field(default_factory=Counter)
    tokens: int = _UUIDS

    def next(self, series: str) -> int:
        """The next number of a series."""
        self.series[series] += 1
        return self.series[series]

    def token(self) -> str:
        """The next token, as both databases take it."""
        self.tokens += 1
        return f"{self.tokens:032x}"


class Form:
    """A bundle, taken apart into slots."""

    def __init__(self, bundle: Bundle) -> None:
        self.bundle = bundle
        self.slots: dict[Slot, int] = {}
        self.rows: list[tuple[type[Model], list[Callable[[list[Any]], tuple[Any, ...]]]]] = []
        self.known = {(model, row.pk) for model, rows in bundle.rows.items() for row in rows}
        self.said = self._said()
        longest_first = sorted(map(re.escape, self.said), key=len, reverse=True)
        self.every = re.compile(rf"(?<!\w)(?:{'|'.join(longest_first)})(?!\w)")
        for model, rows in bundle.rows.items():
            self.rows.append((model, [self._row(model, row) for row in rows]))
        self.fixed = [what.value if how == "stays" else None for how, what in self.slots]
        self.changing = [
            (place, f"_{how}", what)
            for place, (how, what) in enumerate(self.slots)
            if how != "stays"
        ]
        self.placed_at = min(row.placed_at for row in self.of(Order))
        self.builds = len(self.of(Build))
        self.stock = Counter[int]()
        for row in self.of(StockRow):
            self.stock[row.part_id] -= row.on_hand_change

    def of(self, model: type[Model]) -> list[Any]:
        """The bundle's rows of a table."""
        return self.bundle.rows.get(model, [])

    def _said(self) -> set[str]:
        """Names and numbers that change wherever they are said."""
        found = {CALLED, FAMILY, plain(CALLED), plain(FAMILY), HOUSE, PHONE}
        for hilt in self.of(Hilt):
            found |= {hilt.name, hilt.name_folded}
        found |= {f"{build.number:04d}" for build in self.of(Build)}
        found |= {str(each) for each in self.of(Return)}
        found |= {each.number for model in (Order, Invoice) for each in self.of(model)}
        sent = [each.tracking for model in (Arrival, Parcel) for each in self.of(model)]
        return found | {each for each in sent if each}

    def _row(self, model: type[Model], row: Model) -> Callable[[list[Any]], tuple[Any, ...]]:
        picks = [self.slots.setdefault(slot, len(self.slots)) for slot in self._slots(model, row)]
        return itemgetter(*picks)

    def _slots(self, model: type[Model], row: Model) -> list[Slot]:
        return [self._slot(model, row, each) for each in columns(model)]

    def _slot(self, model: type[Model], row: Model, column: Field) -> Slot:
        value = getattr(row, column.attname)
        if column.primary_key:
            return "row", (model, value)
        if isinstance(column, ForeignKey):
            key = (column.related_model, value)
            return ("row", key) if key in self.known else _stays(column, value)
        if model in (Build, Return) and column.name == "number":
            return "number", (model, value)
        if model is Message and column.name in {"key", "message_id"}:
            return column.name, row.pk
        if isinstance(value, UUID):
            return "uuid", value
        if isinstance(value, datetime):
            return "moment", value
        if isinstance(value, date):
            return "day", value
        return self._words(column, value)

    def _words(self, column: Field, value: Any) -> Slot:
        if isinstance(column, JSONField) and value is not None:
            text = json.dumps(value, ensure_ascii=False)
            changes = self.every.search(text) or _DAY.search(text) or _NAMED.search(text)
            if changes or _KEY.search(text):
                return "json", text
            return _stays(column, value)
        if isinstance(value, str) and (self.every.search(value) or _KEY.search(value)):
            return "text", value
        return _stays(column, value)


def _stays(column: Field, value: Any) -> Slot:
    made = column.get_db_prep_save(value, connection)
    return "stays", _Alike(made)


@dataclass(frozen=True)
class _Alike:
    """A value with its type: 1, 1.0 and True are three."""

    value: Any
    kind: type = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "kind", type(self.value))


class Teller:
    """Tells forms again, one after the other; keeps what numbers it gave out."""

    def __init__(self, numbers: Numbers, dice: random.Random) -> None:
        self.numbers, self.dice = numbers, dice
        self.people: list[tuple[int, names.Person]] = []
        self.rows: dict[type[Model], list[tuple[Any, ...]]] = defaultdict(list)

    def tell(self, form: Form, weeks: int) -> None:
        """Add a form's rows, so many weeks before it was done."""
        returns = bool(self.people) and self.dice.random() < RETURNING
        known = self.dice.choice(self.people) if returns else None
        slots = _Slots(form, self.numbers, self.dice, timedelta(weeks=weeks), known)
        values = slots.made()
        for model, rows in form.rows:
            if model is not Customer or known is None:
                self.rows[model].extend([row(values) for row in rows])
        self._remember(slots)

    def _remember(self, slots: "_Slots") -> None:
        self.people.append((slots.customer, slots.person))
        if len(self.people) > MOST_KNOWN:
            self.people.pop(self.dice.randrange(MOST_KNOWN))

    def taken(self) -> dict[type[Model], list[tuple[Any, ...]]]:
        """What was told since the last time."""
        taken, self.rows = self.rows, defaultdict(list)
        return taken


class _Slots:
    """The slots of one telling."""

    def __init__(
        self,
        form: Form,
        numbers: Numbers,
        dice: random.Random,
        earlier: timedelta,
        known: tuple[int, names.Person] | None,
    ) -> None:
        self.form, self.numbers, self.dice, self.earlier = form, numbers, dice, earlier
        self.now_row = self._rows()
        (was,) = form.of(Customer)
        new = (self.now_row[Customer, was.pk], names.person(dice))
        self.customer: int = known[0] if known else new[0]
        self.person: names.Person = known[1] if known else new[1]
        self.now_row[Customer, was.pk] = self.customer
        self.now_number: dict[tuple[type[Model], int], int] = {}
        self.said = self._said()

    def made(self) -> list[Any]:
        """A value for each slot, in order."""
        values = self.form.fixed.copy()
        for place, how, what in self.form.changing:
            values[place] = getattr(self, how)(what)
        return values

    def _rows(self) -> dict[tuple[Any, Any], Any]:
        found: dict[tuple[Any, Any], Any] = {}
        for model, rows in self.form.bundle.rows.items():
            last = self.numbers.rows[model]
            found |= {(model, row.pk): last + place for place, row in enumerate(rows, 1)}
            self.numbers.rows[model] = last + len(rows)
        for key in [key for key in found if key[0] is PrivateLink]:
            found[key] = _link_id(found[key])
        return found

    def _said(self) -> dict[str, str]:
        who = self.person
        found = {
            CALLED: who.called, FAMILY: who.family, plain(CALLED): plain(who.called),
            plain(FAMILY): plain(who.family), HOUSE: who.house, PHONE: who.phone,
        }  # fmt: skip
        for hilt in self.form.of(Hilt):
            name = names.hilt(self.dice)
            found |= {hilt.name: name, hilt.name_folded: name.casefold()}
        for build in self.form.of(Build):
            number = self.numbers.next("builds")
            self.now_number[Build, build.number] = number
            found[f"{build.number:04d}"] = f"{number:04d}"
        for back in self.form.of(Return):
            number = self.numbers.next("returns")
            self.now_number[Return, back.number] = number
            found[str(back)] = f"R{number:04d}"
        return found | self._papers() | self._sent()

    def _papers(self) -> dict[str, str]:
        found = {}
        for order in self.form.of(Order):
            year = (order.placed_at - self.earlier).year
            found[order.number] = f"{year}-{self.numbers.next(f'orders-{year}'):03d}"
        for paper in self.form.of(Invoice):
            year = (paper.issued_on - self.earlier).year
            number = self.numbers.next(f"{paper.paper}-{year}")
            found[paper.number] = f"{paper.number[0]}{year}-{number:04d}"
        return found

    def _sent(self) -> dict[str, str]:
        sent = [each.tracking for model in (Arrival, Parcel) for each in self.form.of(model)]
        return {each: f"FP {self.numbers.next('tracking'):08d} GB" for each in sent if each}

    def _row(self, key: Any) -> Any:
        return self.now_row[key]

    def _number(self, key: Any) -> int:
        return self.now_number[key]

    def _key(self, pk: int) -> str:
        return f"past:{self.now_row[Message, pk]}"

    def _message_id(self, pk: int) -> str:
        return f"<past.{self.now_row[Message, pk]}@larkhill.example>"

    def _uuid(self, _was: UUID) -> Any:
        return self.numbers.token()

    def _moment(self, at: datetime) -> Any:
        return connection.ops.adapt_datetimefield_value(at - self.earlier)

    def _day(self, day: date) -> Any:
        return connection.ops.adapt_datefield_value(day - self.earlier)

    def _text(self, text: str) -> str:
        text = self.form.every.sub(lambda found: self.said[found[0]], text)
        return _KEY.sub(self._another, text)

    def _json(self, text: str) -> str:
        text = _DAY.sub(lambda day: str(date.fromisoformat(day[0]) - self.earlier), text)
        text = _NAMED.sub(lambda found: f'"{found[1]}": {self._known(found[1], found[2])}', text)
        return self._text(text)

    def _another(self, found: re.Match[str]) -> str:
        return f"{found[1]}:{self._known(found[1], found[2])}"

    def _known(self, word: str, pk: str) -> Any:
        key = (self.form.bundle.words.get(word), int(pk))
        return self.now_row.get(key, pk)


def _link_id(number: int) -> str:
    return b32encode(sha256(f"past {number}".encode()).digest()[:10]).decode().lower()
