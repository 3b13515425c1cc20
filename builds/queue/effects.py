"""What a change to the line does to each build, and to which days a new order can be promised.

Pure: values in, values out. Both sides of a comparison are walked with the same draws, so that
what differs comes of the change.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from builds.queue.values import GRID, NEW, RUNS, Line, in_order, odds_by, reckoned
from shop.diary.forecast import ODDS, Outlook

MARKED = 0.02  # a change of the odds that is worth a word
EARLY = len(ODDS) + GRID.index(0.05)
UP, DOWN, FIRST, AFTER = "up", "down", "first", "after"


@dataclass(frozen=True)
class Sight:
    """What is to be expected of a build: days by which it leaves, and the odds of its day."""

    early: date | None  # one in twenty leaves by it
    by_50: date | None
    by_80: date | None
    by_95: date | None
    odds: float | None
    moments: tuple[float | None, ...] = ()


@dataclass(frozen=True)
class Effect:
    """One build before and after a change."""

    key: int
    before: Sight
    after: Sight

    @property
    def change(self) -> float:
        """By how much the odds of its day change; 0 for a build without a day."""
        if self.before.odds is None or self.after.odds is None:
            return 0.0
        return self.after.odds - self.before.odds

    @property
    def days_later(self) -> int:
        """By how many days the day of 80 % moves; one that goes out of sight moves by a year."""
        old, new = self.before.by_80, self.after.by_80
        if old is None or new is None:
            return 0 if old == new else 365 if new is None else -365
        return (new - old).days

    @property
    def is_marked(self) -> bool:
        """Whether its odds change by more than chance and rounding would."""
        return abs(self.change) > MARKED

    @property
    def is_changed(self) -> bool:
        """Whether there is anything to tell."""
        return self.is_marked or self.days_later != 0


def sights(line: Line, runs: int = RUNS) -> dict[int, Sight]:
    """Build → what is to be expected of it."""
    return {key: _sight(outlook) for key, outlook in reckoned(line, runs).items()}


def _sight(outlook: Outlook) -> Sight:
    days = [None if day is None else date.fromordinal(day) for day in outlook.days]
    moments = outlook.finish_min[len(ODDS) :]
    return Sight(days[EARLY], days[0], days[1], days[2], outlook.odds, moments)


def effects(before: Mapping[int, Sight], after: Mapping[int, Sight]) -> list[Effect]:
    """One effect a build that is on both sides, the worst first."""
    found = [Effect(key, before[key], after[key]) for key in before if key in after]
    return sorted(found, key=lambda one: (one.change, -one.days_later))


def moved(keys: Sequence[int], key: int, to: str, after: int | None = None) -> list[int]:
    """The order in which one is moved up, down, to the head, or behind another."""
    rest = [each for each in keys if each != key]
    place = list(keys).index(key)
    if to == FIRST:
        place = 0
    elif to == UP:
        place = max(place - 1, 0)
    elif to == DOWN:
        place = min(place + 1, len(rest))
    elif to == AFTER and after in rest:
        place = rest.index(after) + 1
    return [*rest[:place], key, *rest[place:]]


def goes_first(line: Line, key: int) -> Line:
    """The line in which one build goes before all others."""
    return in_order(line, moved([job.key for job in line.jobs], key, FIRST))


def promised_by(line: Line, seen: Sight, least: float) -> tuple[date, float] | None:
    """The first dispatch day by which a build leaves with the least odds, and its odds there."""
    leaving = line.leaving
    for day, cut_off in zip(leaving.days, leaving.cut_offs, strict=True):
        odds = odds_by(seen.moments, cut_off)
        if odds >= least:
            return date.fromordinal(day), odds
    return None


def rushed(line: Line) -> Line:
    """The line with the new order at its head."""
    return goes_first(line, NEW)
