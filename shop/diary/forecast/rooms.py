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

    def full(self, now: Moments) -> tuple[Indices, Moments]:
        """The runs in which it is full, and from when there is room for one more."""


class Stands:
    """A stage: when each of those that stand in it leaves it."""

    def __init__(self, most: int, runs: int, entrance: Entrance) -> None:
        self.entrance, self._most, self._runs = entrance, most, runs
        self._leave = np.zeros(most * runs)
        self._next = np.arange(runs)  # whose place is taken by one that enters

    def full(self, now: Moments) -> tuple[Indices, Moments]:
        first = self._leave.reshape(self._most, self._runs).min(axis=0)
        runs = (first > now).nonzero()[0]
        return runs, first[runs]

    def enter(self, step: Indices, now: Moments, leaves: Moments) -> None:
        """One more enters in some runs, and leaves when its step and its rest are over."""
        runs = self.entrance.take(step).nonzero()[0]
        at = self._next.take(runs)
        stays = (self._leave.take(at) > now.take(runs)).nonzero()[0]
        if len(stays):  # not the one that entered first left first
            rows = self._leave.reshape(self._most, self._runs)[:, runs[stays]]
            at[stays] = rows.argmin(axis=0) * self._runs + runs[stays]
        self._leave[at] = leaves.take(runs)
        at += self._runs
        at[at >= len(self._leave)] -= len(self._leave)
        self._next[runs] = at


class Opened:
    """The opened builds of the shop: how many, and when those in hand are finished.

    What somebody works on is decided when it begins, so one may be finished and still in hand:
    at most one a person.
    """

    def __init__(
        self, most: int, runs: int, opened: int, people: int, entrance: Entrance, exit_: Entrance
    ) -> None:
        self.entrance, self._most = entrance, most
        self._count = np.full(runs, opened, dtype=np.int16)
        self._change = entrance.astype(np.int16) - exit_
        self._leave = np.zeros((people, runs))

    def full(self, now: Moments) -> tuple[Indices, Moments]:
        opened = self._count.copy()
        for leave in self._leave:
            opened += leave > now
        full = (opened >= self._most).nonzero()[0]
        leaves = self._leave[:, full]
        return full, np.where(leaves > now[full], leaves, FAR).min(axis=0)

    def pass_(self, step: Indices) -> None:
        """Builds are opened, or finished, by their steps."""
        self._count += self._change.take(step)

    def leave(self, runs: Indices, who: Indices, at: Moments) -> None:
        """Builds are finished by somebody at a moment, one in each of some runs."""
        self._leave[who, runs] = at
