"""Kits as their pages show them: parts, minutes a stage, and what they cost."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Count, QuerySet, Sum

from shop.stores.models import Kit, KitLine
from shop.stores.queries.costs import cost_of
from shop.stores.queries.levels import amount
from shop.web.figures import pointed


@dataclass(frozen=True)
class KitRow:
    """A kit in the list."""

    kit: Kit
    parts: int
    minutes: int


@dataclass(frozen=True)
class InKit:
    """A part of a kit, how much of it, and what the stores have free."""

    line: KitLine
    amount: str
    free: str
    is_short: bool
    cost: int | None


@dataclass(frozen=True)
class KitSheet:
    """A kit with all that is in it."""

    kit: Kit
    parts: Sequence[InKit]
    minutes: dict[str, int]

    @property
    def in_all(self) -> int:
        """The minutes of every stage together."""
        return sum(self.minutes.values())

    @property
    def cost(self) -> int:
        """What its parts cost, as far as anybody knows."""
        return sum(each.cost or 0 for each in self.parts)

    @property
    def unknown(self) -> int:
        """How many parts have no price."""
        return sum(1 for each in self.parts if each.cost is None)


def kits() -> QuerySet[Kit]:
    """Kits by name, those in use first."""
    return Kit.objects.order_by("retired", "name")


def kit_rows() -> list[KitRow]:
    """Every kit with how many parts and minutes it has, in three queries."""
    parts = dict(kits().order_by().values_list("pk").annotate(Count("lines")))
    minutes = dict(kits().order_by().values_list("pk").annotate(Sum("hours__minutes")))
    return [KitRow(kit, parts[kit.pk], minutes[kit.pk] or 0) for kit in kits()]


def kit_sheet(kit: Kit) -> KitSheet:
    """One kit, in two queries."""
    lines = kit.lines.select_related("part__level").order_by("part__kind", "part__name_folded")
    return KitSheet(
        kit=kit,
        parts=[_in_kit(line) for line in lines],
        minutes=dict(kit.hours.values_list("stage", "minutes")),
    )


def _in_kit(line: KitLine) -> InKit:
    part, free = line.part, line.part.level.free
    return InKit(
        line=line,
        amount=amount(part, line.quantity),
        free=amount(part, free),
        is_short=free < line.quantity,
        cost=cost_of(part, line.quantity),
    )


def hours(minutes: int) -> str:
    """Minutes as hours are said: 1.5, 12."""
    return pointed(f"{minutes / 60:.1f}".rstrip("0").rstrip(".")) if minutes else "0"
