"""What ships on a day: packed, ready, nearly ready, in danger, left."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid4

from builds.bench.queries.board import open_rows
from builds.bench.queries.dispatch_card import Card, cards
from builds.bench.queries.rows import Row
from builds.dispatch.models import Parcel
from builds.dispatch.queries import day_of, left_on, to_leave
from builds.progress.states import Leaves, State
from shop.diary.queries import Calendar
from shop.orders.models import Consignee


@dataclass(frozen=True)
class Ready:
    """What one customer's next parcel may hold, and what of theirs is not ready yet."""

    rows: Sequence[Row]
    waits_for: Sequence[Row]
    token: UUID

    @property
    def who(self) -> Consignee:
        """To whom it goes."""
        return self.rows[0].build.item.order.consignee


@dataclass(frozen=True)
class DispatchDay:
    """One dispatch day, in finished data."""

    day: date
    packed: Sequence[Card]
    left: Sequence[Parcel]
    moved: Sequence[tuple[Parcel, date]]  # missed this day, and the day that they leave on now
    ready: Sequence["Ready"]
    collected: Sequence[Row]
    nearly: Sequence[Row]
    danger: Sequence[Row]
    later: Sequence[date]

    @property
    def ready_count(self) -> int:
        """How many builds could be packed now."""
        return sum(len(one.rows) for one in self.ready)

    @property
    def packed_count(self) -> int:
        """How many builds lie in parcels for the day."""
        return sum(len(card.parcel.inside) for card in self.packed)  # type: ignore[attr-defined,misc]

    @property
    def to_number(self) -> Parcel | None:
        """The first parcel that left and has no tracking number."""
        return next((parcel for parcel in self.left if not parcel.tracking), None)


def dispatch_day(day: date, calendar: Calendar, now: datetime) -> DispatchDay:
    """What is packed for a day, could be, nearly could be, and should be but cannot."""
    found, waiting = open_rows(calendar, now), list(to_leave(day))
    here = [row for row in found if row.build.state == State.DISPATCH and not row.parcel]
    posted = [row for row in here if row.build.leaves_by == Leaves.POST]
    ready = [row for row in posted if row.is_to_pack]
    unready = _unready(found, day)
    return DispatchDay(
        day=day,
        packed=cards(
            [one for one in waiting if day_of(one, calendar, now) == day],
            day,
            {row.build.pk: row for row in found},
        ),
        moved=[
            (one, later)
            for one in waiting
            if one.day == day and (later := day_of(one, calendar, now)) > day
        ],
        left=list(left_on(day, calendar.zone)),
        ready=_by_consignee(ready, found),
        collected=[row for row in here if row.build.leaves_by == Leaves.COLLECTION],
        nearly=[row for row in unready if _is_nearly_ready(row)],
        danger=in_danger(found, day),
        later=_days_to_choose(calendar, now),
    )


def in_danger(found: Sequence[Row], day: date) -> list[Row]:
    """What should leave on a day and cannot, nor nearly; Today counts the same."""
    return [row for row in _unready(found, day) if not _is_nearly_ready(row)]


def _unready(found: Sequence[Row], day: date) -> list[Row]:
    posted = [
        row
        for row in found
        if row.build.state == State.DISPATCH
        and not row.parcel
        and row.build.leaves_by == Leaves.POST
    ]
    promised = [row for row in found if _is_for(row, day) and row.build.state != State.DISPATCH]
    return [row for row in posted if not row.is_to_pack] + promised


def _by_consignee(ready: Sequence[Row], found: Sequence[Row]) -> list[Ready]:
    """What goes to one person and one address stands together, with the rest of those orders."""
    grouped: dict[Consignee, list[Row]] = {}
    for row in ready:
        grouped.setdefault(row.build.item.order.consignee, []).append(row)
    return [
        Ready(rows, [other for other in found if _is_sibling(other, rows)], uuid4())
        for rows in grouped.values()
    ]


def _is_sibling(other: Row, rows: Sequence[Row]) -> bool:
    orders = {row.build.item.order_id for row in rows}
    waits = other not in rows and other.parcel is None
    posted = other.build.leaves_by == Leaves.POST
    return waits and posted and other.build.item.order_id in orders


def _is_nearly_ready(row: Row) -> bool:
    near = row.build.state in {State.TEST, State.DISPATCH}
    return near and not row.is_held and row.tone != "stop"


def _is_for(row: Row, day: date) -> bool:
    return row.due is not None and row.due.day <= day


def _days_to_choose(calendar: Calendar, now: datetime) -> list[date]:
    days = calendar.rule_days(calendar.today(now), 28)
    return [each["date"] for each in days if each["is_dispatch"]][:6]
