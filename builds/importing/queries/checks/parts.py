"""Rows that are parts, each by the figures of its kind."""

from typing import Any

from django.utils.translation import gettext as _

from builds.importing import values
from builds.importing.columns import fields, unit_in
from builds.importing.queries.checks.line import Line, Options, Plan, Wish, lines_of
from builds.importing.sheets import Sheet, Value
from builds.importing.states import Kind
from shop.stores.kinds import Counted, PartKind
from shop.stores.models import Part, Supplier
from shop.stores.specs import SPECS, Quantity

_KINDS: dict[str, tuple[Any, ...]] = {
    PartKind(kind): (str(PartKind(kind).label), f"{PartKind(kind).label}s")
    for kind in PartKind.values
}
_KINDS[PartKind.CELL] += ("battery", "batteries")
_KINDS[PartKind.BOARD] += ("sound card",)
_KINDS[PartKind.PROTECTION] += ("fuse", "protection")
_KINDS[PartKind.SCREW] += ("screw", "screws")
_KINDS[PartKind.LED] += ("led", "leds")
_KINDS[PartKind.PORT] += ("port", "socket")
_COUNTED: dict[str, tuple[Any, ...]] = {
    Counted.PIECE: (Counted.PIECE.label, "piece", "pc", "pcs", "each", "ea"),
    Counted.MM: (Counted.MM.label, "mm", "length", "by length", "m", "metre", "metres"),
}
MOST_PACK = 10_000_000


def plan(sheet: Sheet, options: Options) -> Plan:
    """Each row a part, unless we have one of its name or an earlier row does."""
    made = Plan()
    there = {part.name_folded: part for part in Part.objects.filter(retired=False).order_by("-pk")}
    suppliers = {each.name.casefold(): each for each in Supplier.objects.order_by("-pk")}
    figures = [each.quantity for each in fields(Kind.PARTS).values() if each.quantity]
    seen: dict[str, int] = {}
    for line in lines_of(sheet, options, made):
        facts = _part(line, suppliers)
        facts |= _figures(line, facts["kind"], figures)
        made.wishes.append(Wish(line.row.number, facts, _found(line, facts, there, seen)))
    return made


def _part(line: Line, suppliers: dict[str, Supplier]) -> dict[str, Any]:
    options = line.options
    supplier = line.text("supplier", 80)

    def money(value: Value) -> int:
        return values.money(value, options.decimals, options.currency)

    return {
        "kind": line.need("kind", lambda value: values.choice(value, _KINDS)) or "",
        "name": line.need("name", lambda value: values.words(value, 80, lines=False)) or "",
        "counted": line.take("counted", lambda value: values.choice(value, _COUNTED)) or "piece",
        "supplier": supplier,
        "supplier_known": suppliers.get(supplier.casefold()),
        "supplier_ref": line.text("supplier_ref", 60),
        "pack": line.take("pack", lambda value: _pack(value, options)) or 1,
        "cost_minor": line.take("cost", money),
        "price_minor": line.take("price", money),
        "note": line.lines("note"),
        "source": line.text("source", 120),
    }


def _pack(value: Value, options: Options) -> int:
    return values.whole(value, options.decimals, MOST_PACK, least=1)


def _figures(line: Line, kind: str, asked: list[Quantity]) -> dict[str, Any]:
    """What is told of its kind; figures of other kinds in other rows' columns stay empty here."""
    own = {each.name: each for each in SPECS.get(kind, ())}
    spec: dict[str, Any] = {}
    stated: dict[str, float] = {}
    for each in asked if kind else []:
        if each.name in own:
            _figure(line, own[each.name], spec, stated)
        elif line.raw(each.name) is not None and "column" in line.options.mapping[each.name]:
            label = PartKind(kind).label
            line.say(each.name, _("A %s has no such figure. Empty this cell.") % label)
    if stated and not line.raw("source"):
        line.say("source", _("Say who says so: this row has limits, as of a data sheet."))
    return {"spec": spec, "stated": stated}


def _figure(line: Line, quantity: Quantity, spec: dict[str, Any], stated: dict[str, float]) -> None:
    options = line.options
    column = options.mapping.get(quantity.name, {}).get("column")
    header = options.headers[column] if column is not None else ""

    def read(value: Value) -> Any:
        return values.figure(
            value,
            quantity,
            decimals=options.decimals,
            length_unit=options.length_unit,
            header_unit=unit_in(header),
        )

    if quantity.required and line.raw(quantity.name) is None:
        line.say(quantity.name, _("%s is needed for this kind of part.") % _named(quantity))
        return
    value = line.take(quantity.name, read)
    if value is None:
        return
    if quantity.is_rating and not value > 0:
        line.say(quantity.name, _("This has to be above 0."))
    elif quantity.is_rating:
        stated[quantity.name] = value
    else:
        spec[quantity.name] = value


def _named(quantity: Quantity) -> str:
    label = str(quantity.label)
    return _("“%s”") % f"{label[:1].upper()}{label[1:]}"


def _found(line: Line, facts: dict[str, Any], there: dict[str, Part], seen: dict[str, int]) -> Any:
    name = facts["name"].casefold()
    if not name:
        return None
    if name in there:
        line.double("name", _("%s is a part of this name already.") % there[name].label)
        return there[name]
    earlier = seen.setdefault(name, line.row.number)
    if earlier == line.row.number:
        return None
    line.double("name", _("Row %s above has the same name.") % earlier)
    return earlier
