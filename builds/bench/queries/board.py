"""What the Bench page shows: the rule of days, and one band a stage."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.urls import reverse
from django.utils.translation import ngettext

from builds.bench.queries.rows import Row, rows_of, with_own_tokens
from builds.gates.conditions import asked_of_open
from builds.progress.states import ON_THE_RULE, State
from builds.queue.queries.limits import stage_limits
from shop.diary.queries import Calendar
from shop.web.unchanged import while_unchanged

DAYS_ON_THE_RULE = 20
ROOM = 3  # days from a dispatch day to the end of the rule


@dataclass(frozen=True)
class Band:
    """The builds of one stage; of what is booked, either what is here already or what is not."""

    stage: State
    rows: Sequence[Row]
    is_waiting_here: bool = False
    most: int | None = None  # how many the shop wants to have started in it

    @property
    def started(self) -> int:
        """How many are being worked on; limits count these."""
        return sum(1 for row in self.rows if row.build.started_at)

    @property
    def is_full(self) -> bool:
        """Whether as many are started as the shop wants, or more."""
        return self.most is not None and self.started >= self.most


def bands(found: Sequence[Row]) -> list[Band]:
    """One band a stage, in the order of the work.

    What came before anyone agreed stands first: nobody may work on it, and nobody must forget it.
    What is booked but not here comes last.
    """
    booked = [row for row in found if row.build.state == State.BOOKED]
    here = [row for row in booked if row.is_here]
    most = stage_limits()
    return [
        *([Band(State.BOOKED, here, is_waiting_here=True)] if here else []),
        *(_band(stage, found, most.get(stage)) for stage in ON_THE_RULE),
        Band(State.BOOKED, [row for row in booked if not row.is_here]),
    ]


def _band(stage: State, found: Sequence[Row], most: int | None) -> Band:
    return Band(stage, [row for row in found if row.build.state == stage], most=most)


def open_rows(calendar: Calendar, now: datetime) -> list[Row]:
    """Rows of every build that has not ended, with tokens for this look alone."""
    return [with_own_tokens(row) for row in rows_to_draw(calendar, now)]


def rows_to_draw(calendar: Calendar, now: datetime) -> list[Row]:
    """The same for a part of a page that is drawn once, and gives each look tokens of its own."""
    return while_unchanged(open_rows, now, lambda: rows_of(asked_of_open(now), calendar, now))


def rule(found: Sequence[Row], calendar: Calendar, now: datetime) -> list[dict[str, Any]]:
    """The days ahead with a flag for each build that is to leave on one."""
    flags: dict[date, list[dict[str, Any]]] = {}
    following = calendar.next_dispatch_day(now)
    for row in found:
        day = leaves_on(row, following)
        if day:
            flags.setdefault(day, []).append(_flag(row))
    where = reverse("bench_dispatch")
    return [
        {
            "date": day["date"],
            "is_dispatch": day["is_dispatch"],
            "is_closed": day["is_closed"] or not day["is_working"],
            "flags": flags.get(day["date"], []),
            "url": f"{where}?day={day['date'].isoformat()}" if day["is_dispatch"] else "",
            "words": _count_words(flags.get(day["date"], [])) if day["is_dispatch"] else "",
        }
        for day in _with_room(calendar.rule_days(calendar.today(now), DAYS_ON_THE_RULE))
    ]


def _with_room(days: Sequence[dict[str, Any]]) -> Sequence[dict[str, Any]]:
    """The rule ends on the eve of a dispatch day that would have no room for its flags."""
    late = [at for at, day in enumerate(days) if day["is_dispatch"] and at > len(days) - ROOM]
    return days[: late[0]] if late else days


def _flag(row: Row) -> dict[str, Any]:
    state = "late" if row.is_late else "danger" if row.is_in_danger else ""
    return {
        "label": f"{row.name} {row.build}",
        "url": row.url,
        "state": "ready" if row.parcel else state,
        "tray": str(row.build.tray) if row.build.tray else "–",
    }


def _count_words(flags: Sequence[dict[str, Any]]) -> str:
    if not flags:
        return ""
    return ngettext("%d to leave", "%d to leave", len(flags)) % len(flags)


def leaves_on(row: Row, following: date | None) -> date | None:
    """The day a build is packed for, else due; what is late is for the following dispatch day."""
    if row.leaves:
        return row.leaves
    day = row.due.day if row.due else None
    return max(day, following) if day and following else day
