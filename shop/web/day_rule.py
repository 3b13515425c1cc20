"""The geometry of the rule of days: plain values in, plain values out, no database, no clock."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

DAY_HOURS = 24


@dataclass(frozen=True)
class Flag:
    """One build that is to leave on a day."""

    label: str
    tray: str
    url: str
    state: str


@dataclass(frozen=True)
class Day:
    """One division of the rule. ``now`` is how far into the day it is, in per cent, or None."""

    date: date
    is_dispatch: bool
    is_closed: bool
    is_first: bool
    now: float | None
    url: str
    words: str
    flags: tuple[Flag, ...]
    room: int  # days until the next dispatch day: what the flags may spread over


def share_of_day(moment: datetime) -> float:
    """How far into its day a moment is, in per cent."""
    hours = moment.hour + moment.minute / 60
    return round(100 * hours / DAY_HOURS, 1)


def _flag(given: Mapping[str, Any]) -> Flag:
    label = str(given.get("label", ""))
    return Flag(
        label=label,
        tray=str(given.get("tray", "")),
        url=str(given.get("url", "")),
        state=str(given.get("state", "")),
    )


def _room(days: list[Mapping[str, Any]], index: int) -> int:
    following = days[index + 1 :]
    for distance, day in enumerate(following, start=1):
        if day.get("is_dispatch") or day.get("flags"):
            return distance
    return len(following) + 1


def divisions(given: Iterable[Mapping[str, Any]], now: datetime | None) -> list[Day]:
    """The days of the rule, each with the room that its flags have and where now stands."""
    days = list(given)
    return [
        Day(
            date=day["date"],
            is_dispatch=bool(day.get("is_dispatch")),
            is_closed=bool(day.get("is_closed")),
            is_first=index == 0,
            now=share_of_day(now) if now and now.date() == day["date"] else None,
            url=str(day.get("url", "")),
            words=str(day.get("words", "")),
            flags=tuple(_flag(flag) for flag in day.get("flags", ())),
            room=min(_room(days, index), 7),
        )
        for index, day in enumerate(days)
    ]
