"""Rows that are stock: how many of a part there are, counted or received."""

from typing import Any

from django.utils.translation import gettext as _

from builds.importing import values
from builds.importing.queries.checks.line import Line, Options, Plan, Wish, lines_of
from builds.importing.sheets import Sheet, Value, text_of
from shop.stores.actions.stock import MOST
from shop.stores.models import Part
from shop.stores.queries.levels import amount
from shop.stores.units import millimetres

_WAYS = {"counted": ("counted", "count"), "received": ("received", "came", "added")}


class _Shelf:
    """The parts in use, by number and by name."""

    def __init__(self) -> None:
        self.by_number: dict[int, Part] = {}
        self.by_name: dict[str, list[Part]] = {}
        for part in Part.objects.filter(retired=False).select_related("level").order_by("pk"):
            self.by_number[part.number] = part
            self.by_name.setdefault(part.name_folded, []).append(part)

    def find(self, value: Value) -> Part:
        """The part that a cell means."""
        text = " ".join(text_of(value).split())
        named = self.by_name.get(text.casefold(), [])
        if len(named) > 1:
            labels = ", ".join(part.label for part in named)
            raise ValueError(_("Several parts have this name: %s. Write the number.") % labels)
        if named:
            return named[0]
        digits = text.casefold().removeprefix("p")
        if digits.isdecimal() and int(digits) in self.by_number:
            return self.by_number[int(digits)]
        raise ValueError(_("We have no part of this name or number. Bring in the parts first."))


def plan(sheet: Sheet, options: Options) -> Plan:
    """Each row a line of the ledger."""
    made, shelf = Plan(), _Shelf()
    seen: dict[int, int] = {}
    for line in lines_of(sheet, options, made):
        facts = _stock(line, shelf)
        part = facts["part"]
        if part:
            _check_once(line, part, seen)
        made.wishes.append(Wish(line.row.number, facts, part, changes=part is not None))
    return made


def _stock(line: Line, shelf: _Shelf) -> dict[str, Any]:
    options = line.options
    part = line.need("part", shelf.find)
    way = line.take("way", lambda value: values.choice(value, _WAYS)) or "counted"
    many = line.need("on_hand", lambda value: _many(value, part, way, options))
    if part and many is not None and way == "counted" and many < part.level.reserved:
        reserved = amount(part, part.level.reserved)
        line.say("on_hand", _("%s are reserved for builds: the count cannot be less.") % reserved)
    cost = line.take("cost", lambda value: values.money(value, options.decimals, options.currency))
    return {
        "part": part,
        "many": many,
        "way": way,
        "cost_minor": cost if way == "received" else None,
        "reason": line.text("reason", 200) or _("brought in from %s") % options.file_name[:100],
    }


def _many(value: Value, part: Part | None, way: str, options: Options) -> int:
    least = 1 if way == "received" else 0
    if part is None or part.counted != "mm":
        return values.whole(value, options.decimals, MOST, least)
    if isinstance(value, str) and not value.replace(".", "").replace(",", "").isdigit():
        length = millimetres(value, "m")
    else:
        length = values.number(value, options.decimals) * 1000
    return values.whole(float(length), "point", MOST, least)


def _check_once(line: Line, part: Part, seen: dict[int, int]) -> None:
    earlier = seen.setdefault(part.pk, line.row.number)
    if earlier != line.row.number:
        line.say("part", _("Row %s above has the same part. Put both in one row.") % earlier)
