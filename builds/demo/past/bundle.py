"""Reads all rows that belong to one customer, of whatever table, so that they can be told again."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.apps import apps
from django.db.models import ForeignKey, Model, Q

from builds.models import BuildPart, Match, Packed
from shop.history.models import Entry
from shop.people.models import Customer
from shop.post.models import Message, PrivateLink
from shop.stores.models import Reservation

Rows = dict[type[Model], dict[Any, Model]]
APPS = ("shop", "builds")
# Foreign keys to what belongs to the row that has them, not to the shop.
OWNED = (
    (Match, "arrival"), (Packed, "parcel"), (BuildPart, "reservation"), (Message, "link"),
)  # fmt: skip
# Tables that name what they belong to by its key, as in "build:12".
BY_KEY = (Entry, Reservation, PrivateLink)
# Every measure and every wire is a line of history: most of the rows, and none that a page lists
# by itself.
LEFT_OUT = frozenset({
    "measured", "section_added", "joint_noted", "hole_added", "step_added", "wire_listed",
    "wire_changed", "wire_cut", "gesture_tried", "slot_verified", "photo_added", "step_off",
    "part_placed", "part_planned", "part_reserved",
})  # fmt: skip


@dataclass(frozen=True)
class Bundle:
    """Rows by table; ``words`` are the names by which keys in texts know the tables."""

    rows: dict[type[Model], list[Model]] = field(default_factory=dict)
    words: dict[str, type[Model]] = field(default_factory=dict)


def read(customer: Customer) -> Bundle:
    """The customer and all that belongs to them."""
    found: Rows = defaultdict(dict)
    found[Customer][customer.pk] = customer
    while _more(found):
        pass
    words = {_word(model): model for model in found}
    words["switch"] = BuildPart  # as lists of shots call it
    rows = {model: [found[model][pk] for pk in sorted(found[model])] for model in found}
    return Bundle({model: each for model, each in rows.items() if each}, words)


def _more(found: Rows) -> bool:
    before = sum(map(len, found.values()))
    for model in _ours():
        for key in _keys(model):
            ids = found.get(key.related_model, {}).keys()
            if ids and key.related_model is not model:
                _add(found, model, Q(**{f"{key.name}__in": list(ids)}))
    for model, name in OWNED:
        owned = [getattr(row, f"{name}_id") for row in found.get(model, {}).values()]
        _add(found, model._meta.get_field(name).related_model, Q(pk__in=owned))  # type: ignore[arg-type]
    known = {model: rows for model, rows in found.items() if model is not Customer}
    about = [f"{_word(model)}:{pk}" for model, rows in known.items() for pk in rows]
    for model in BY_KEY:
        _add(found, model, Q(about__in=about))
    return sum(map(len, found.values())) > before


def _add(found: Rows, model: type[Model], which: Q) -> None:
    for row in model._base_manager.filter(which):
        if getattr(row, "verb", "") not in LEFT_OUT:
            found[model].setdefault(row.pk, row)


def _ours() -> list[type[Model]]:
    return [each for each in apps.get_models() if each._meta.app_label in APPS]


def _keys(model: type[Model]) -> Iterable[ForeignKey]:
    return (each for each in model._meta.concrete_fields if isinstance(each, ForeignKey))


def _word(model: type[Model]) -> str:
    name = model.__name__
    return "".join(f"_{sign.lower()}" if sign.isupper() else sign for sign in name).lstrip("_")


def children_first(models: Iterable[type[Model]]) -> list[type[Model]]:
    """Tables in an order in which each stands before those that it points to.

    A parcel that left takes nothing more in, so what lies in it is written first.
    """
    wanted, found = set(models), dict[type[Model], None]()
    seen: set[type[Model]] = set()

    def visit(model: type[Model]) -> None:
        if model in wanted and model not in seen:
            seen.add(model)
            for key in _keys(model):
                visit(key.related_model)
            found[model] = None

    for model in sorted(wanted, key=lambda each: each.__name__):
        visit(model)
    return list(reversed(found))
