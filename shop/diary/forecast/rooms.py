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

    def until(self, now: Moments) -> Moments:
        """From when there is room for one more; what is past counts as now."""


class Stands:
    """A stage: when each of those that stand in it leaves it."""

    def __init__(self, most: int, runs: int, entrance: Entrance) -> None:
        self.entrance, self._leave = entrance, np.zeros((most, runs))
        self._next = np.zeros(runs, dtype=np.int64)  # whose place is taken by one that enters

    def until(self, now: Moments) -> Moments:
        first: Moments = self._leave.min(axis=0)
        return first

    def enter(self, step: Indices, now: Moments, leaves: Moments) -> None:
        """One more enters in some runs, and leaves when its step and its rest are over."""
        runs = self.entrance.take(step).nonzero()[0]
        at = self._next[runs]
        stays = (self._leave[at, runs] > now[runs]).nonzero()[0]
        if len(stays):  # not the one that entered first left first
            at[stays] = self._leave[:, runs[stays]].argmin(axis=0)
        self._leave[at, runs] = leaves[runs]
        self._next[runs] = (at + 1) % len(self._leave)


class Opened:
    """The opened builds of the shop: how many, and when those in hand are finished.

    What somebody works on is decided when it begins, so one may be finished and still in hand:
    at most one a person.
    """

    def __init__(
        self, most: int, runs: int, opened: int, people: int, entrance: Entrance, exit_: Entrance
    ) -> None:
        self.entrance, self._most = entrance, most
        self._count = np.full(runs, opened, dtype=np.int64)
        self._change = entrance.astype(np.int64) - exit_
        self._leave = np.zeros((people, runs))

    def until(self, now: Moments) -> Moments:
        found = np.zeros(len(now))
        maybe = (self._count > self._most - 1 - len(self._leave)).nonzero()[0]
        if len(maybe):
            leave = self._leave[:, maybe]
            is_in_hand = leave > now[maybe]
            full = self._count[maybe] + is_in_hand.sum(axis=0) >= self._most
            first = np.where(is_in_hand, leave, FAR).min(axis=0)
            found[maybe] = np.where(full, first, 0)
        return found

    def pass_(self, step: Indices) -> None:
        """Builds are opened, or finished, by their steps."""
        self._count += self._change.take(step)

    def leave(self, runs: Indices, who: Indices, at: Moments) -> None:
        """Builds are finished by somebody at a moment, one in each of some runs."""
        self._leave[who, runs] = at
