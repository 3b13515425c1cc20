"""What holds only so many builds at a time, in all runs: a stage, and the shop as a whole."""

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from shop.diary.forecast.clock import FAR
from shop.diary.forecast.values import Moments

Indices = NDArray[np.int64]
Entrance = NDArray[np.bool_]


class Room(Protocol):
    """Builds enter it with the steps of its entrance."""

    entrance: Entrance

    def until(self, now: Moments, runs: Indices) -> Moments:
        """From when there is room for one more in some runs."""

    def enter(self, runs: Indices, leaves: Moments) -> None:
        """One more enters in some runs, and leaves when its step and its rest are over."""


class Stands:
    """A stage: when each of those that stand in it leaves it, soonest first."""

    def __init__(self, most: int, runs: int, entrance: Entrance) -> None:
        self.entrance, self._leave = entrance, np.zeros((most, runs))

    def until(self, now: Moments, runs: Indices) -> Moments:
        first: Moments = self._leave[0]
        return first if len(runs) == len(first) else first[runs]

    def enter(self, runs: Indices, leaves: Moments) -> None:
        """In the place of the one that left first."""
        for row in range(1, len(self._leave)):
            after = self._leave[row, runs]
            self._leave[row - 1, runs] = np.minimum(leaves, after)
            leaves = np.maximum(leaves, after)
        self._leave[-1, runs] = leaves


class Opened:
    """The opened builds of the shop: how many, and when those in hand are finished.

    What somebody works on is decided when it begins, so one may be finished and still in hand:
    at most one a person.
    """

    def __init__(self, most: int, runs: int, opened: int, people: int, entrance: Entrance) -> None:
        self.entrance, self._most = entrance, most
        self._count = np.full(runs, opened, dtype=np.int64)
        self._leave = np.zeros((people, runs))

    def until(self, now: Moments, runs: Indices) -> Moments:
        found = np.zeros(len(runs))
        maybe = np.nonzero(self._count[runs] + len(self._leave) >= self._most)[0]
        if len(maybe):
            leave = self._leave[:, runs[maybe]]
            is_in_hand = leave > now[maybe]
            full = self._count[runs[maybe]] + is_in_hand.sum(axis=0) >= self._most
            first = np.where(is_in_hand, leave, FAR).min(axis=0)
            found[maybe] = np.where(full, first, 0)
        return found

    def enter(self, runs: Indices, leaves: Moments) -> None:
        self._count[runs] += 1

    def leave(self, runs: Indices, who: Indices, at: Moments) -> None:
        """Builds are finished by somebody at a moment, one in each of some runs."""
        self._count[runs] -= 1
        self._leave[who, runs] = at
