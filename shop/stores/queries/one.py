"""One part as its page shows it: figures with who says so, what it is reserved for, its ledger."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from shop.stores.models import Part, Rating, Reservation, StockLevel, StockRow
from shop.stores.queries.known import figures
from shop.stores.queries.levels import amount, open_reservations
from shop.stores.specs import IN_WORDS, quantities, ratings
from shop.stores.units import figure_shown

MINUS = "\u2212"


@dataclass(frozen=True)
class Said:
    """What one source states."""

    pk: int
    text: str
    source: str
    is_typical: bool
    is_used: bool


@dataclass(frozen=True)
class Row:
    """A figure of the spec, in words; ``said`` is there for a rating."""

    label: str
    text: str
    is_typical: bool
    is_word: bool
    said: tuple[Said, ...] = ()

    @property
    def differs(self) -> bool:
        """Whether sources state it differently."""
        return len(self.said) > 1


@dataclass(frozen=True)
class Held:
    """What is reserved, for what; ``number`` is there where that is a build."""

    quantity: str
    whose: str
    number: str
    reservation: Reservation


@dataclass(frozen=True)
class Booked:
    """A line of the ledger, in words."""

    row: StockRow
    change: str
    number: str


def part_of(pk: int) -> Part | None:
    """A part with its level and supplier."""
    return Part.objects.select_related("level", "supplier").filter(pk=pk).first()


def spec_rows(part: Part, length_unit: str) -> list[Row]:
    """What is known of a part, in the order in which forms ask; what nobody said is left out."""
    known = figures([part])[part.pk].by_name
    stated = _stated(part, length_unit)
    return [
        Row(
            label=str(quantity.label),
            text=figure_shown(quantity, known[quantity.name].value, length_unit),
            is_typical=known[quantity.name].is_typical,
            is_word=quantity.unit in IN_WORDS,
            said=stated.get(quantity.name, ()),
        )
        for quantity in quantities(part.kind)
        if quantity.name in known
    ]


def all_stated(rows: Iterable[Row]) -> list[Said]:
    """Everything that sources state of a part."""
    return [said for row in rows for said in row.said]


def lacking(part: Part) -> list[str]:
    """Ratings that sums want and that nobody has stated."""
    in_force = set(part.ratings.filter(withdrawn_at=None).values_list("quantity", flat=True))
    return [str(q.label) for q in ratings(part.kind) if q.required and q.name not in in_force]


def _stated(part: Part, length_unit: str) -> dict[str, tuple[Said, ...]]:
    by_name = {quantity.name: quantity for quantity in ratings(part.kind)}
    rows: dict[str, list[Rating]] = {}
    for rating in part.ratings.filter(withdrawn_at=None).order_by("value", "pk"):
        rows.setdefault(rating.quantity, []).append(rating)
    return {
        name: tuple(
            Said(
                pk=rating.pk,
                text=figure_shown(by_name[name], rating.value, length_unit),
                source=rating.source,
                is_typical=rating.is_typical,
                is_used=place == 0,
            )
            for place, rating in enumerate(some)
        )
        for name, some in rows.items()
        if name in by_name
    }


def held(part: Part) -> list[Held]:
    """What of a part is set aside, the oldest first."""
    return [
        Held(amount(part, each.quantity), each.whose, _number(each), each)
        for each in open_reservations(part)
    ]


def ledger(part: Part) -> QuerySet[StockRow]:
    """The rows of a part's ledger, the newest first."""
    return StockRow.objects.filter(part=part).select_related("by")


def booked(part: Part, rows: Iterable[StockRow]) -> list[Booked]:
    """Rows of the ledger in words."""
    return [Booked(row, _change(part, row), _number(row)) for row in rows]


def _change(part: Part, row: StockRow) -> str:
    if row.on_hand_change:
        sign = "+" if row.on_hand_change > 0 else MINUS
        return sign + amount(part, abs(row.on_hand_change))
    if row.reserved_change:
        return amount(part, abs(row.reserved_change))
    return _("agrees")


def _number(of: Reservation | StockRow) -> str:
    """A build's number: what a reservation is for in words begins with it."""
    first = of.whose.partition(" ")[0]
    return str(int(first)) if of.about.startswith("build:") and first.isdigit() else ""


@dataclass(frozen=True)
class Level:
    """What there is of a part, as it is shown."""

    free: str
    reserved: str
    on_hand: str
    pack: str
    is_none_free: bool


def level_of(part: Part) -> Level:
    """What there is of a part."""
    level: StockLevel = part.level
    return Level(
        free=amount(part, level.free),
        reserved=amount(part, level.reserved),
        on_hand=amount(part, level.on_hand),
        pack=amount(part, part.pack),
        is_none_free=part.stocked and level.free <= 0,
    )
