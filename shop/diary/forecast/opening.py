"""In what order builds are opened: the queue walked through once, with middling hours."""

from collections.abc import Sequence

import numpy as np

from shop.diary.forecast.clock import FAR, Clock
from shop.diary.forecast.steps import Steps
from shop.diary.forecast.values import Job, Moments


class Middling:
    """One walk through the queue, person by person, in which everything takes its median."""

    def __init__(self, cut: Steps, jobs: Sequence[Job], most: int, clock: Clock) -> None:
        self.cut, self.most, self.clock = cut, most, clock
        self.last = cut.is_last
        opened = [place for place, job in enumerate(jobs) if job.is_opened]
        self.order = opened.copy()
        self.open = {cut.first_of[place]: 0.0 for place in opened}
        self.unopened = [place for place, job in enumerate(jobs) if not job.is_opened]
        self.leaving: list[float] = []  # when those that are finished make room

    def walk(self, work: Moments, release: Moments) -> list[int]:
        """The builds in the order in which they are opened; those opened already come first."""
        who = np.arange(self.clock.people)
        done = self.clock.worked_now()
        free = self.clock.begins(who, done)
        for step in self.open:
            self.open[step] = release[step]
        while self.unopened:
            person = int(free.argmin())
            step, ready = self._next(float(free[person]), release)
            moment = max(float(free[person]), ready)
            if moment >= FAR:
                break
            begun = max(done[person], self.clock.worked(person, np.array([moment]))[0])
            if ready <= free[person]:
                begun += work[step]
                self._did(step, self._ends(person, begun), release)
            done[person], free[person] = begun, self._begins(person, begun)
        return self.order + self.unopened

    def _ends(self, person: int, minutes: float) -> float:
        return float(self.clock.ends(np.array([person]), np.array([minutes]))[0])

    def _begins(self, person: int, minutes: float) -> float:
        return float(self.clock.begins(np.array([person]), np.array([minutes]))[0])

    def _next(self, now: float, release: Moments) -> tuple[int, float]:
        """What is ready now and stands first in the queue; else what is ready next, and when."""
        self.leaving = [moment for moment in self.leaving if moment > now]
        ready = [step for step, since in self.open.items() if since <= now]
        new, since = self._new(now, release)
        if since <= now:
            ready.append(new)
        if ready:
            return min(ready), now
        later = [(since, new), *((moment, step) for step, moment in self.open.items())]
        later += [(moment, -1) for moment in self.leaving]
        moment, step = min(later)
        return step, moment

    def _new(self, now: float, release: Moments) -> tuple[int, float]:
        """The first of the unopened that may be opened now, else the one that may be next."""
        if len(self.open) + len(self.leaving) >= self.most:
            return -1, FAR
        best = (FAR, -1)
        for place in self.unopened:
            step = self.cut.first_of[place]
            if release[step] <= now:
                return step, now
            best = min(best, (float(release[step]), step))
        return best[1], best[0]

    def _did(self, step: int, end: float, release: Moments) -> None:
        build = self.cut.build[step]
        if step in self.open:
            del self.open[step]
        else:
            self.unopened.remove(build)
            self.order.append(build)
        if self.last[step]:
            self.leaving.append(end)
        else:
            self.open[step + 1] = max(end + self.cut.rest_min[step], float(release[step + 1]))
