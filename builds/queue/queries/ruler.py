"""The geometry of the rule of days: days as shares of its length. Plain values, no database."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from shop.diary.queries import Calendar
from shop.web.dated import dated

LEAST, MOST = 21, 56  # days on the rule
WEEK = 7
ONE = timedelta(days=1)


@dataclass(frozen=True)
class Piece:
    """Something drawn along the rule, from one share of its length over another, in per cent."""

    x: float
    width: float
    look: str = ""
    words: str = ""


@dataclass(frozen=True)
class Rule:
    """The days that are drawn, from today on."""

    first: date
    days: int
    shut: tuple[Piece, ...] = ()
    leaves: tuple[Piece, ...] = ()
    weeks: tuple[Piece, ...] = ()

    @property
    def last(self) -> date:
        """The last day that is drawn."""
        return self.first + (self.days - 1) * ONE

    def at(self, day: date) -> float:
        """Where a day begins, in per cent; the ends for what lies beyond them."""
        ahead = min(max((day - self.first).days, 0), self.days)
        return round(100 * ahead / self.days, 2)

    def middle(self, day: date) -> float:
        """Where the middle of a day is."""
        return round((self.at(day) + self.at(day + ONE)) / 2, 2)

    def is_beyond(self, day: date | None) -> bool:
        """Whether a day lies behind the end of the rule; None lies behind every end."""
        return day is None or day > self.last

    def piece(self, first: date, last: date | None, look: str = "") -> Piece:
        """From one day to another, both included; to the end for what is out of sight."""
        begins = self.at(first)
        ends = 100.0 if last is None else self.at(last + ONE)
        return Piece(begins, round(max(ends - begins, 0.0), 2), look)


def rule_of(calendar: Calendar, today: date, days: Iterable[date | None]) -> Rule:
    """A rule that reaches over days, in whole weeks, as far as can be told apart on it."""
    farthest = max((day for day in days if day), default=today)
    wanted = min(max((farthest - today).days + 2, LEAST), MOST)
    plain = Rule(today, -(-wanted // WEEK) * WEEK)
    ahead = [today + n * ONE for n in range(plain.days)]
    return Rule(
        today,
        plain.days,
        shut=tuple(_shut(plain, calendar, ahead)),
        leaves=tuple(plain.piece(day, day) for day in ahead if calendar.is_dispatch_day(day)),
        weeks=tuple(_weeks(plain, ahead)),
    )


def _shut(rule: Rule, calendar: Calendar, ahead: Sequence[date]) -> list[Piece]:
    """Stretches of days on which the shop is closed, weekdays off among them."""
    spans: list[tuple[date, date]] = []
    for day in ahead:
        if calendar.is_working_day(day):
            continue
        if spans and spans[-1][1] == day - ONE:
            spans[-1] = (spans[-1][0], day)
        else:
            spans.append((day, day))
    return [rule.piece(first, last, _look(calendar, first, last)) for first, last in spans]


def _look(calendar: Calendar, first: date, last: date) -> str:
    days = [first + n * ONE for n in range((last - first).days + 1)]
    return "closed" if any(calendar.is_closed(day) for day in days) else "off"


def _weeks(rule: Rule, ahead: Sequence[date]) -> list[Piece]:
    mondays = [day for day in ahead if day.weekday() == 0]
    return [
        Piece(rule.at(day), 0, "every" if place % 2 == 0 else "other", dated(day, "short in year"))
        for place, day in enumerate(mondays)
    ]
