"""The fields of the four kinds of sheets: what each is called, means, and is called elsewhere."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.functional import lazy
from django.utils.translation import gettext_lazy as t

from builds.importing.states import Kind
from shop.stores.kinds import PartKind
from shop.stores.specs import SPECS, Quantity, Unit


@dataclass(frozen=True)
class Field:
    """One of our fields. ``words`` are headings that mean it, in small letters."""

    name: str
    label: Any
    hint: Any = ""
    required: bool = False
    words: tuple[str, ...] = ()
    example: str = ""
    quantity: Quantity | None = None


@dataclass(frozen=True)
class Group:
    """Fields that stand together; a folded one is needed seldom."""

    label: Any
    fields: tuple[Field, ...]
    folded: bool = False


def _kinds() -> str:
    return ", ".join(str(label) for label in PartKind.labels)


_PERSON = (
    Field("called", t("called"), t("As we greet them; empty: the first word of the full name."),
          words=("first name", "given name", "firstname", "forename", "called", "greeting"),
          example="Wren"),
    Field("family", t("family name"), t("Put after the first name where no full name is given."),
          words=("last name", "surname", "family name", "lastname"), example=""),
    Field("full_name", t("full name"), t("As it stands on the parcel."),
          words=("name", "full name", "customer", "customer name", "client", "contact"),
          example="Wren Aldous"),
    Field("email", t("e-mail"), t("Tells one customer from another."),
          words=("email", "e mail", "mail", "email address", "e mail address"),
          example="wren@example.com"),
    Field("phone", t("telephone"),
          words=("phone", "telephone", "tel", "mobile", "phone number", "cell phone"),
          example="01632 960101"),
)  # fmt: skip
_WHERE = (
    Field("address", t("postal address"), t("All of it, or its first line."),
          words=("address", "street", "address 1", "address line 1", "postal address",
                 "street address"), example="7 Mill Row"),
    Field("address_2", t("second line of it"), words=("address 2", "address line 2"),
          example=""),
    Field("town", t("town"), words=("town", "city", "place", "locality"), example="Northwick"),
    Field("region", t("county, state"), words=("county", "state", "region", "province"),
          example=""),
    Field("postcode", t("postcode"), words=("postcode", "post code", "zip", "zip code",
                                          "postal code"), example="NW0 1AA"),
    Field("country", t("country"), t("By its name or its two letters, as in GB."),
          words=("country", "country code"), example="GB"),
    Field("note", t("note"), t("For the shop alone."),
          words=("note", "notes", "comment", "comments", "remarks"), example="prefers mail"),
)  # fmt: skip
_ORDER = (
    Field("kind", t("kind of job"),
          t("full install, upgrade or board swap, repair, warranty, blade only"), True,
          words=("kind", "kind of job", "job", "type", "job type", "work"),
          example="full install"),
    Field("hilt", t("hilt"), t("Its name. Only a blade-only job has none."),
          words=("hilt", "hilt name", "item", "prop", "piece"), example="Quiet Harbour"),
    Field("wanted", t("what is wanted"), t("In your own words; empty: the kind of job."),
          words=("wanted", "what is wanted", "description", "wishes", "details", "specification"),
          example="two switches, warm white, removable chassis"),
    Field("leaves_by", t("leaves"), t("by post, or collected in person; empty: by post"),
          words=("leaves", "delivery", "shipping", "shipping method"), example="by post"),
    Field("needed_by", t("needed by"), t("A day, as in 2026-12-14."),
          words=("needed by", "need by", "deadline", "event date"), example=""),
    Field("promised", t("promised for"), t("The latest day you told them: a dispatch day."),
          words=("promised", "promised for", "promise", "due", "due date", "ship by",
                 "ships on"), example=""),
    Field("price_note", t("price, as agreed"), t("In words; it makes no invoice."),
          words=("price", "price note", "agreed price", "quote", "quoted", "total"),
          example="420, half paid"),
    Field("reference", t("customer's reference"),
          words=("reference", "ref", "customer reference", "po number", "order number", "order no",
                 "order"), example="WA-17"),
    Field("stage", t("stage"), t("Open orders begin as booked; the bench moves them on."),
          words=("stage", "state", "status"), example="booked"),
    Field("order_note", t("note"), words=("note", "notes", "comment", "comments"), example=""),
)  # fmt: skip
_PART = (
    Field("kind", t("kind"), lazy(_kinds, str)(), True,
          words=("kind", "type", "category", "kind of part"), example="speaker"),
    Field("name", t("name"), t("Plain and telling; no two parts alike."), True,
          words=("name", "part", "part name", "item", "description", "title"),
          example="speaker 28 mm, 8 Ω"),
    Field("counted", t("counted in"), t("pieces, or millimetres for what goes by length"),
          words=("counted", "counted in", "unit", "uom"), example="pieces"),
    Field("supplier", t("supplier"), t("By name; one that we don't know yet is written down."),
          words=("supplier", "vendor", "seller", "bought from"), example="Fenland Sounds"),
    Field("supplier_ref", t("supplier's number for it"),
          words=("supplier ref", "supplier number", "sku", "part number", "part no",
                 "article number", "supplier's number"), example="FS-28"),
    Field("pack", t("comes in packs of"), words=("pack", "pack size", "packs of"), example="1"),
    Field("cost", t("cost"), t("Of one, or of a metre; in your currency."),
          words=("cost", "cost price", "purchase price", "buy price", "unit cost"),
          example="3.20"),
    Field("price", t("price"), t("What customers pay for one, or for a metre."),
          words=("price", "sales price", "sell price", "retail", "retail price", "unit price"),
          example="8.50"),
    Field("note", t("note"), words=("note", "notes", "comment", "comments"), example=""),
    Field("source", t("who says so"),
          t("Needed where a limit is given, as in: data sheet, measured here."),
          words=("source", "who says so", "data from"), example="data sheet"),
)  # fmt: skip
_STOCK = (
    Field("part", t("part"), t("By its number, as in P0042, or by its name."), True,
          words=("part", "part number", "number", "name", "part name", "item", "label", "part no"),
          example="speaker 28 mm, 8 Ω"),
    Field("on_hand", t("how many"), t("Pieces; what goes by length, as in 2.5 m."), True,
          words=("on hand", "quantity", "qty", "count", "counted", "stock", "in stock", "how many",
                 "amount", "received"), example="12"),
    Field("way", t("counted or received"),
          t("counted sets the stock, received adds to it; empty: counted"),
          words=("way", "deed", "counted or received", "movement"), example="counted"),
    Field("cost", t("cost of one"), t("Of what was received; in your currency."),
          words=("cost", "unit cost", "cost price"), example=""),
    Field("reason", t("why"), t("Stands in the ledger; empty: the name of the file."),
          words=("reason", "why", "note", "comment"), example="first count"),
)  # fmt: skip


def groups(kind: str) -> tuple[Group, ...]:
    """The fields of a kind of sheet, as the page groups them."""
    return _GROUPS[kind]


def fields(kind: str) -> dict[str, Field]:
    """The fields of a kind of sheet, by name."""
    return {field.name: field for group in groups(kind) for field in group.fields}


def _figures() -> tuple[Field, ...]:
    """Every figure of every kind of part once, by its name in the specs."""
    found: dict[str, Field] = {}
    for quantities in SPECS.values():
        for each in quantities:
            if each.name in found:
                continue
            kinds = [PartKind(k).label for k, some in SPECS.items() if each.name in _names(some)]
            found[each.name] = Field(
                each.name,
                each.label,
                lazy(_for_kinds, str)(kinds, each),
                words=_words_of(each),
                quantity=each,
            )
    return tuple(found.values())


_BARE = {Unit.CHOICE, Unit.TEXT, Unit.COUNT}
_UNITS = {Unit.MV: "V", Unit.MA: t("mA or A"), Unit.MW: t("mW or W"), Unit.PER_M: t("a metre")}


def _names(quantities: tuple[Quantity, ...]) -> set[str]:
    return {each.name for each in quantities}


def _for_kinds(kinds: list[Any], quantity: Quantity) -> str:
    """In the language of the reader, so made as it is read."""
    named = t("any kind") if len(kinds) > 7 else ", ".join(str(kind) for kind in kinds)
    choices = ", ".join(str(label) for _code, label in quantity.choices)
    unit = f", {_UNITS.get(quantity.unit, quantity.unit)}" if quantity.unit not in _BARE else ""
    return f"{named}{unit}{': ' + choices if choices else ''}"


def _words_of(quantity: Quantity) -> tuple[str, ...]:
    bare = quantity.name.rpartition("_")[0] if "_" in quantity.name else quantity.name
    return (bare.replace("_", " "), quantity.name.replace("_", " "))


_GROUPS: Mapping[str, tuple[Group, ...]] = {
    Kind.CUSTOMERS: (Group(t("Who they are"), _PERSON), Group(t("Where they live"), _WHERE)),
    Kind.ORDERS: (
        Group(t("Whose it is"), _PERSON),
        Group(t("The job"), _ORDER),
    ),
    Kind.PARTS: (
        Group(t("The part"), _PART),
        Group(t("Its figures"), _figures(), folded=True),
    ),
    Kind.STOCK: (Group(t("The stock"), _STOCK),),
}
