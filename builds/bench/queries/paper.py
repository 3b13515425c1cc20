"""The dispatch day on paper: each parcel with all that is needed where no signal reaches."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from builds.dispatch.models import Parcel
from builds.dispatch.queries import day_of, to_leave
from builds.intake.models import Belonging, CellCheck, CellResult
from builds.intake.queries import facts
from builds.progress.models import Build
from shop.diary.queries import Calendar
from shop.orders.models import Consignee, Item, ItemKind


@dataclass(frozen=True)
class Inside:
    """One build in a parcel, and what goes with it."""

    build: Build
    cell: CellCheck | None
    back: Sequence[Belonging]
    stays: Sequence[Belonging]

    @property
    def is_cell_unknown(self) -> bool:
        """Whether nobody looked for a cell; a blade alone has none."""
        return self.build.hilt is not None and self.cell is None

    @property
    def has_cell(self) -> bool:
        """Whether a cell may go along: one was found, and was not set aside."""
        return self.cell is not None and self.cell.result in {CellResult.GOOD, CellResult.REWRAP}

    @property
    def is_aside(self) -> bool:
        """Whether the cell that came was set aside as damaged."""
        return self.cell is not None and self.cell.result == CellResult.ASIDE


@dataclass(frozen=True)
class Slip:
    """One parcel."""

    parcel: Parcel
    to: Consignee
    inside: Sequence[Inside]
    goods: Sequence[Item]

    @property
    def is_cell_unknown(self) -> bool:
        """Whether nobody looked for a cell in one of them."""
        return any(one.is_cell_unknown for one in self.inside)

    @property
    def asks_care(self) -> bool:
        """Whether the cautions for lithium cells are for this parcel."""
        return any(one.has_cell or one.is_cell_unknown for one in self.inside)


def slips(day: date, calendar: Calendar, now: datetime) -> list[Slip]:
    """The parcels of a day that are still here, in a constant number of queries."""
    found = [one for one in to_leave(day) if day_of(one, calendar, now) == day]
    builds = [packed.build for one in found for packed in one.inside]  # type: ignore[attr-defined]
    known = facts([build.pk for build in builds])
    things = _by_build(Belonging.objects.filter(build__in=[build.pk for build in builds]))
    goods = _goods({build.item.order_id for build in builds})
    return [_slip(one, known, things, goods) for one in found]


def _slip(parcel: Parcel, known: dict, things: dict, goods: dict) -> Slip:
    builds = [packed.build for packed in parcel.inside]  # type: ignore[attr-defined]
    inside = [
        Inside(
            build,
            known[build.pk].cell,
            [thing for thing in things.get(build.pk, []) if not thing.kept_because],
            [thing for thing in things.get(build.pk, []) if thing.kept_because],
        )
        for build in builds
    ]
    orders = dict.fromkeys(build.item.order_id for build in builds)
    along = [item for order in orders for item in goods.get(order, [])]
    return Slip(parcel, builds[0].item.order.consignee, inside, along)


def _by_build(things: Iterable[Belonging]) -> dict[int, list[Belonging]]:
    found: dict[int, list[Belonging]] = {}
    for thing in things:
        found.setdefault(thing.build_id or 0, []).append(thing)
    return found


def _goods(orders: Iterable[int]) -> dict[int, list[Item]]:
    found: dict[int, list[Item]] = {}
    for item in Item.objects.filter(order__in=orders, kind=ItemKind.GOODS).order_by("pk"):
        found.setdefault(item.order_id, []).append(item)
    return found
