"""People's working hours as tables: from a moment to hours worked by then, and back."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from shop.diary.forecast.values import Moments, Person

FAR = float(2**23)  # minutes, sixteen years: what happens then happens beyond the forecast
_NOISE = 1e-3  # of a minute: drawn hours carry seven digits
Indices = NDArray[np.int64]


class Clock:
    """The hours of several people; person and moment or minute of work go in as arrays."""

    def __init__(self, people: Sequence[Person]) -> None:
        hours = [_from_now(person) for person in people]
        self.people = len(hours)
        self._knots = [np.ravel(np.column_stack(each)) for each in hours]
        self._worked = [_worked(*each) for each in hours]
        self.step = _step(hours)
        tables = [_table(opens, closes, self.step) for opens, closes in hours]
        self._last = max(map(len, tables))
        self._base = np.arange(self.people) * (self._last + 1)
        table = np.full((self.people, self._last + 1), FAR)
        for who, steps in enumerate(tables):
            table[who, : len(steps)] = steps
        self._table: Moments = table.ravel()

    def ends(self, who: Indices, minutes: Moments) -> Moments:
        """The moment at which so many minutes are worked; at a closing, the closing.

        Beyond the hours that were handed in, some moment beyond FAR.
        """
        return self._moment(who, minutes, minutes - _NOISE)

    def begins(self, who: Indices, minutes: Moments) -> Moments:
        """The moment at which work goes on after so many minutes; at a closing, the opening."""
        return self._moment(who, minutes, minutes + _NOISE)

    def _moment(self, who: Indices, minutes: Moments, near: Moments) -> Moments:
        near *= 1 / self.step
        at = near.astype(np.int64)
        np.minimum(at, self._last, out=at)
        at += self._base.take(who)
        moment: Moments = self._table.take(at)
        moment += minutes
        return moment

    def worked_now(self) -> Moments:
        """What each person has worked already of the hours that are under way."""
        now = np.zeros(1)
        return np.array([self.worked(person, now)[0] for person in range(self.people)])

    def worked(self, person: int, moments: Moments) -> Moments:
        """The minutes that one person works until these moments."""
        if not len(self._knots[person]):
            return np.zeros(len(moments))
        return np.interp(moments, self._knots[person], self._worked[person])


def _from_now(person: Person) -> tuple[Moments, Moments]:
    """What is past does not count; the hours that are under way stay whole, for longer steps."""
    ahead = person.closes > 0
    return person.opens[ahead], person.closes[ahead]


def _worked(opens: Moments, closes: Moments) -> Moments:
    until = np.cumsum(closes - opens)
    return np.ravel(np.column_stack((until - (closes - opens), until)))


def _step(hours: Sequence[tuple[Moments, Moments]]) -> float:
    """The longest step of whole minutes that divides every span of work."""
    spans = np.concatenate([np.zeros(1), *(closes - opens for opens, closes in hours)])
    return float(np.gcd.reduce(spans.astype(np.int64))) or 1.0


def _table(opens: Moments, closes: Moments, step: float) -> Moments:
    """How far the moment is from the minutes worked, in each step of work."""
    counts = np.rint((closes - opens) / step).astype(np.int64)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    return np.repeat(opens, counts) - first * step
