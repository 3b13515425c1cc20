"""What was built on an import since: anything that points to what it made, any later deed."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import ForeignObjectRel, Model, Q
from django.utils.translation import gettext as _

from builds.hilts.models import Hilt
from builds.importing.models import Import, Made
from builds.progress.models import Build
from shop.history.queries import first_since
from shop.orders.models import Item, Order
from shop.people.models import Customer
from shop.stores.models import Part, StockRow, Supplier

MODELS: dict[str, type[Model]] = {
    "customer": Customer, "order": Order, "item": Item, "build": Build, "hilt": Hilt,
    "part": Part, "supplier": Supplier,
}  # fmt: skip
# What an import makes along with a thing; of these only later rows count.
_ALONG = {"promise", "rating"}
_NOT_BUILT_ON = {"stocklevel", "lineplace", "outlook"}  # a forecast is made of it, not on it
_A_LOT = 400


@dataclass(frozen=True)
class Obstacle:
    """Why one row cannot be taken back."""

    row: int
    sentence: str


def obstacles(one: Import) -> list[Obstacle]:
    """Everything that stands in the way, by row; empty where it can be taken back."""
    made = list(one.made.order_by("row", "pk"))
    if one.kind == "stock":
        found = list(_stock_moved(made))
    else:
        found = [*_pointed_to(one, made), *_changed(one, made)]
    return sorted(set(found), key=lambda each: (each.row, each.sentence))


def _stock_moved(made: list[Made]) -> Iterator[Obstacle]:
    """Stock that moved after the import's own line in the ledger."""
    rows = {int(each.about.partition(":")[2]): each for each in made}
    ids = list(rows)
    for start in range(0, len(ids), _A_LOT):
        later = StockRow.objects.filter(part__in=ids[start : start + _A_LOT]).select_related("part")
        for row in later.order_by("pk"):
            mine = rows[row.part_id]
            if row.pk > mine.before["row"]:
                said = {"part": row.part.name, "deed": row.get_deed_display()}
                yield Obstacle(
                    mine.row, _("Stock of “%(part)s” has moved since (%(deed)s).") % said
                )


def _pointed_to(one: Import, made: list[Made]) -> Iterator[Obstacle]:
    by_room: dict[str, dict[int, int]] = defaultdict(dict)
    for each in made:
        room, _colon, key = each.about.partition(":")
        by_room[room][int(key)] = each.row
    own = {MODELS[room]: set(keys) for room, keys in by_room.items()}
    for room, rows in by_room.items():
        for relation in MODELS[room]._meta.related_objects:
            for pk, what in _pointing(one, relation, list(rows), own):
                yield Obstacle(rows[pk], _said(room, what))


def _pointing(
    one: Import, relation: ForeignObjectRel, keys: list[int], own: dict[type[Model], set[int]]
) -> Iterator[tuple[int, str]]:
    """What points to some things by one relation, but for what the import itself made."""
    model: Any = relation.related_model
    name = model._meta.model_name
    if name in _NOT_BUILT_ON or model in {Import, Made}:
        return
    column = relation.field.attname
    for start in range(0, len(keys), _A_LOT):
        rows = model._base_manager.filter(Q(**{f"{column}__in": keys[start : start + _A_LOT]}))
        if name in _ALONG:
            rows = rows.filter(at__gt=one.kept_at)
        for pk, key in rows.values_list("pk", column):
            if pk not in own.get(model, ()):
                yield key, str(model._meta.verbose_name)


def _said(room: str, what: str) -> str:
    thing = str(MODELS[room]._meta.verbose_name)
    return _("The %(thing)s of this row has a %(what)s by now.") % {"thing": thing, "what": what}


def _changed(one: Import, made: Iterable[Made]) -> Iterator[Obstacle]:
    rows = {each.about: each.row for each in made}
    if one.kept_at is None:
        return
    for about, line in first_since(list(rows), one.kept_at).items():
        said = {"what": line.text, "who": line.who or _("the customer")}
        yield Obstacle(rows[about], _("Changed since: %(what)s (%(who)s).") % said)
