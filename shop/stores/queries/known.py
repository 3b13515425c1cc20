"""What is known of parts: their figures, with who says so; the lower of what sources state."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from shop.stores.models import Part, Rating
from shop.stores.specs import IN_WORDS, Quantity, quantities
from shop.web.reading import each_once


@dataclass(frozen=True)
class Figure:
    """A figure of a part as sums use it.

    ``is_typical``: a guess from what such parts usually have, shown as one. ``others`` are what
    other sources state, higher than this.
    """

    quantity: Quantity
    value: Any
    source: str
    is_typical: bool
    others: tuple["Figure", ...] = ()


@dataclass(frozen=True)
class Figures:
    """All that is known of one part, by the names of its spec."""

    by_name: Mapping[str, Figure]

    def number(self, name: str) -> float | None:
        """A figure's number, None where nobody has said it."""
        found = self.by_name.get(name)
        return None if found is None or found.quantity.unit in IN_WORDS else float(found.value)

    def word(self, name: str) -> str:
        """A figure that is a word, empty where nobody has said it."""
        found = self.by_name.get(name)
        return "" if found is None else str(found.value)


def figures(parts: Iterable[Part]) -> dict[int, Figures]:
    """Part id → its figures, in one query for all."""
    known = {part.pk: part for part in parts}
    return each_once(figures, lambda ids: _of([known[pk] for pk in ids]), known)


def _of(parts: list[Part]) -> dict[int, Figures]:
    stated: dict[tuple[int, str], list[Rating]] = {}
    rows = Rating.objects.filter(part__in=parts, withdrawn_at=None).order_by("value", "id")
    for row in rows:
        stated.setdefault((row.part_id, row.quantity), []).append(row)
    return {part.pk: _figures(part, stated) for part in parts}


def _figures(part: Part, stated: Mapping[tuple[int, str], list[Rating]]) -> Figures:
    found = {}
    for quantity in quantities(part.kind):
        if quantity.is_rating:
            rows = stated.get((part.pk, quantity.name), [])
            if rows:
                found[quantity.name] = _lowest(quantity, rows)
        elif part.spec.get(quantity.name) not in (None, ""):
            value = part.spec[quantity.name]
            found[quantity.name] = Figure(quantity, value, "", part.is_typical)
    return Figures(found)


def _lowest(quantity: Quantity, rows: list[Rating]) -> Figure:
    each = [Figure(quantity, row.value, row.source, row.is_typical) for row in rows]
    return Figure(quantity, each[0].value, each[0].source, each[0].is_typical, tuple(each[1:]))


def own_figures(kind: str, spec: Mapping[str, Any]) -> Figures:
    """The figures of a customer's own part, from what was written down of it."""
    return Figures(
        {
            quantity.name: Figure(quantity, spec[quantity.name], "", False)
            for quantity in quantities(kind)
            if spec.get(quantity.name) not in (None, "")
        }
    )
