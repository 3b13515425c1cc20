"""The walk of the whole queue through people's hands, all runs side by side.

At every turn, in each run on its own, whoever is free first takes what stands first in the queue
of what is ready. A turn is one step of one build, so every run takes as many turns as there are
steps, and each turn is a few sums over all runs.

Which build is taken is the least of one key a slot. Of what is ready the key is its place in the
queue and its slot in one whole number; of what is not, the minutes until then in units of LATER.
Both are exact in half the length of a float, which is what the speed of a turn hangs on.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shop.diary.forecast.clock import FAR, Clock
from shop.diary.forecast.draws import Drawn
from shop.diary.forecast.rooms import Opened, Room, Stands
from shop.diary.forecast.steps import Steps
from shop.diary.forecast.values import Limits, Moments

Indices = NDArray[np.int64]
PLACES = 2**24  # a minute later weighs more than any place in the queue
LATER = np.float32(PLACES)
SEEN = 512  # runs of which is kept when each step began: enough for what builds wait for


@dataclass(frozen=True)
class Release:
    """From when nothing but hands holds each step. Few steps wait, and only those have a row."""

    row: Indices  # by step, and one more for what is no build
    moments: Drawn  # by row and run

    def of(self, step: int | Indices) -> Drawn:
        """The moments of one step or of several, run by run."""
        found: Drawn = self.moments[self.row[step]]
        return found


@dataclass
class Drawing:
    """What was drawn for some runs: work to do, and when what holds a step has ended."""

    work: Drawn
    release: Release


@dataclass(frozen=True)
class Plan:
    """What is the same in all runs.

    :param order: the builds as they come into sight; the first ``opened`` are opened already.
    :param slots: how many builds are in sight at a time, more than may be opened.
    """

    cut: Steps
    order: list[int]
    opened: int
    slots: int
    limits: Limits
    clock: Clock

    @property
    def opening(self) -> NDArray[np.bool_]:
        """Whether a build is opened with a step; one more for what is no build."""
        opening = np.zeros(len(self.cut) + 1, dtype=np.bool_)
        opening[[self.cut.first_of[place] for place in self.order[self.opened :]]] = True
        return opening


@dataclass
class Walked:
    """When each step began, in the first runs, and ended in all, by step and run."""

    begun: Moments
    ended: Drawn


def walk(plan: Plan, drawing: Drawing) -> Walked:
    """All runs from now until the queue is empty. The drawn work is used up."""
    return _Hands(plan, drawing).walk()


class _Hands:
    """The state of all runs: who is free when, and which builds are in hand."""

    def __init__(self, plan: Plan, drawing: Drawing) -> None:
        cut, self.clock = plan.cut, plan.clock
        self.work = drawing.work.ravel()
        self.release_row, self.release = drawing.release.row, drawing.release.moments.ravel()
        self.count, self.runs = drawing.work.shape
        self.seen = min(self.runs, SEEN)
        self.begun = np.empty(self.count * self.seen)
        self.run = np.arange(self.runs)
        self.rest = np.append(np.where(cut.is_last, -1.0, cut.rest_min), -1.0)
        self.stages = [
            Stands(most, self.runs, np.append(cut.limited, 0) == number)
            for number, (_code, most) in enumerate(plan.limits.stages, start=1)
        ]
        self.opened = Opened(
            plan.limits.opened, self.runs, plan.opened, self.clock.people, plan.opening,
            np.append(cut.is_last, False),
        )  # fmt: skip
        self.rooms: list[Room] = [self.opened, *self.stages]
        self.bits = max(1, int(plan.slots - 1).bit_length())
        if (self.count + 1) << self.bits >= PLACES:
            raise ValueError("The queue is too long for a forecast.")
        self._fill(plan, drawing.release)
        self._gather()

    def _fill(self, plan: Plan, release: Release) -> None:
        none = self.count  # a step beyond the last: nothing is left to be opened
        firsts = [plan.cut.first_of[place] for place in plan.order]
        firsts += [none] * (plan.slots + len(firsts))
        start, self.coming = np.array(firsts[: plan.slots]), np.array(firsts[plan.slots :])
        self.next = np.zeros(self.runs, dtype=np.int64)
        place = (start << self.bits) + np.arange(plan.slots)
        self.place = np.repeat(place[:, None].astype(np.float32), self.runs, axis=1)
        self.ready = np.rint(release.of(start)) * LATER
        self.key = np.empty_like(self.ready)

    def _gather(self) -> None:
        who = np.arange(self.clock.people)
        done = self.clock.worked_now()
        self.done = np.repeat(done, self.runs)
        self.free = np.repeat(self.clock.begins(who, done), self.runs)

    def walk(self) -> Walked:
        """All turns. What was work to do becomes the moment at which it is done."""
        for _turn in range(self.count):
            self._turn()
        return Walked(
            self.begun.reshape(self.count, self.seen), self.work.reshape(self.count, self.runs)
        )

    def _turn(self) -> None:
        who, now = self._first_free()
        key = self._first_ready(now)
        person = who * self.runs
        person += self.run
        begun = self.done.take(person)
        idle = np.nonzero(key >= LATER)[0]
        while len(idle):  # when one build leaves a room it may still be full
            self._wait(idle, who, now, key, begun)
            person = who * self.runs + self.run
            idle = np.nonzero(key >= LATER)[0]
        place = key.astype(np.int64)
        place &= PLACES - 1
        self._do(who, person, now, place, begun)

    def _first_free(self) -> tuple[Indices, Moments]:
        free = self.free.reshape(self.clock.people, self.runs)
        if len(free) == 1:
            return np.zeros(self.runs, dtype=np.int64), free[0].copy()
        who, now = (free[1] < free[0]).astype(np.int64), np.minimum(free[0], free[1])
        for person in range(2, len(free)):
            sooner = (free[person] < now).astype(np.int64)
            who += (person - who) * sooner
            np.minimum(now, free[person], out=now)
        return who, now

    def _first_ready(self, now: Moments) -> Drawn:
        """The least key of each run: what is ready, else what is ready first."""
        keys = np.subtract(self.ready, _later(now), out=self.key)
        np.maximum(keys, self.place, out=keys)
        self._keep_out(now, keys)
        least: Drawn = keys.min(axis=0)
        return least

    def _keep_out(self, now: Moments, keys: Drawn) -> None:
        """Where a room is full, what would enter it is ready when the next build leaves it."""
        for room in self.rooms:
            full, until = room.full(now)
            if len(full):
                place = self.place[:, full]
                enters = room.entrance[place.astype(np.int64) >> self.bits]
                late = _later(until) - _later(now[full])
                kept = keys[:, full]
                keys[:, full] = np.where(enters, np.maximum(kept, late), kept)

    def _wait(self, runs: Indices, who: Indices, now: Moments, key: Drawn, begun: Moments) -> None:
        """Nothing is ready: whoever can be there first goes on when the next build is."""
        until = key[runs] / LATER + np.rint(now[runs])
        best, first, done = np.full(len(runs), np.inf), who[runs], begun[runs]
        for person in range(self.clock.people):
            at = runs + person * self.runs
            moment = np.maximum(until, self.free[at])
            worked = np.maximum(self.clock.worked(person, moment), self.done[at])
            there = self.clock.begins(np.full(len(runs), person), worked)
            sooner = there < best
            best[sooner], first[sooner], done[sooner] = there[sooner], person, worked[sooner]
        who[runs], begun[runs] = first, done
        now[runs] = np.maximum(best, until)
        key[runs] = self._first_ready(now)[runs]

    def _do(
        self, who: Indices, person: Indices, now: Moments, place: Indices, begun: Moments
    ) -> None:
        step = place >> self.bits
        at = step * self.runs
        at += self.run
        seen = slice(0, self.seen)
        self.begun[step[seen] * self.seen + self.run[seen]] = now[seen]
        begun += self.work.take(at).astype(np.float64)
        end = self.clock.ends(who, begun)
        self.work[at] = end.astype(np.float32)  # casting while scattering is slow
        self.done[person], self.free[person] = begun, end
        place &= (1 << self.bits) - 1
        ready = self.rest.take(step)
        last = np.nonzero(ready < 0)[0]
        ready += end
        np.minimum(ready, FAR, out=ready)
        for stage in self.stages:
            stage.enter(step, now, ready)
        self.opened.pass_(step)
        self.opened.leave(last, who[last], end[last])
        self._go_on(place, step, last, ready, end)

    def _go_on(
        self, slot: Indices, step: Indices, last: Indices, ready: Moments, end: Moments
    ) -> None:
        """The build comes to its next step; where it is finished another one comes into sight."""
        step += 1
        if len(last):
            turn = self.next[last]
            step[last] = self.coming.take(turn)
            self.next[last], ready[last] = turn + 1, end[last]
        at = self.release_row.take(step)
        at *= self.runs
        at += self.run
        np.maximum(ready, self.release.take(at).astype(np.float64), out=ready)
        self._put(slot, step, ready)

    def _put(self, slot: Indices, step: Indices, ready: Moments) -> None:
        step <<= self.bits
        step += slot
        slot *= self.runs
        slot += self.run
        self.place.ravel()[slot] = step.astype(np.float32)
        self.ready.ravel()[slot] = _later(ready)


def _later(moments: Moments) -> Drawn:
    """Whole minutes, in units that weigh more than any place in the queue."""
    minutes: Drawn = np.rint(moments).astype(np.float32)
    minutes *= LATER
    return minutes
