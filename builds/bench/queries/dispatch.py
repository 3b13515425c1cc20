"""What ships on a day: packed, ready, nearly ready, in danger, left."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID, uuid4

from builds.bench.queries.board import open_rows
from builds.bench.queries.rows import Row
from builds.dispatch.models import Parcel
from builds.dispatch.queries import left_on, to_leave
from builds.progress.states import Leaves, State
from shop.diary.queries import Calendar


@dataclass(frozen=True)
class DispatchDay:
    """One dispatch day, in finished data."""

    day: date
    packed: Sequence[Parcel]
    left: Sequence[Parcel]
    ready: Sequence[tuple[Row, UUID]]
    collected: Sequence[Row]
    nearly: Sequence[Row]
    danger: Sequence[Row]
    later: Sequence[date]

    @property
    def packed_count(self) -> int:
        """How many builds lie in parcels for the day."""
        return sum(len(parcel.inside) for parcel in self.packed)  # type: ignore[attr-defined,misc]


def dispatch_day(day: date, calendar: Calendar, now: datetime) -> DispatchDay:
    """What is packed for a day, could be, nearly could be, and should be but cannot."""
    found = open_rows(calendar, now)
    here = [row for row in found if row.build.state == State.DISPATCH and not row.parcel]
    posted = [row for row in here if row.build.leaves_by == Leaves.POST]
    ready = [row for row in posted if [lack.code for lack in row.missing] == ["parcel"]]
    promised = [row for row in found if _is_for(row, day) and row.build.state != State.DISPATCH]
    unready = [row for row in posted if row not in ready] + promised
    return DispatchDay(
        day=day,
        packed=list(to_leave(day)),
        left=list(left_on(day)),
        ready=[(row, uuid4()) for row in ready],
        collected=[row for row in here if row.build.leaves_by == Leaves.COLLECTION],
        nearly=[row for row in unready if _is_nearly_ready(row)],
        danger=[row for row in unready if not _is_nearly_ready(row)],
        later=_days_to_choose(calendar, now),
    )


def _is_nearly_ready(row: Row) -> bool:
    near = row.build.state in {State.TEST, State.DISPATCH}
    return near and not row.is_held and row.tone != "stop"


def _is_for(row: Row, day: date) -> bool:
    return row.due is not None and row.due.day <= day


def _days_to_choose(calendar: Calendar, now: datetime) -> list[date]:
    days = calendar.rule_days(calendar.today(now), 28)
    return [each["date"] for each in days if each["is_dispatch"]][:6]
