"""What a walked queue says of each build: moments, days, odds, and what drives the delay."""

import numpy as np
from numpy.typing import NDArray

from shop.diary.forecast.clock import FAR
from shop.diary.forecast.draws import Drawn
from shop.diary.forecast.hands import Release, Walked
from shop.diary.forecast.steps import Steps
from shop.diary.forecast.values import HANDS, Job, Leaving, Moments, Outlook


class Delays:
    """Minutes waited before each step, summed over some of the runs."""

    def __init__(self, cut: Steps) -> None:
        self.cut = cut
        self.hands = np.zeros(len(cut))
        self.held = np.zeros(len(cut))
        self.runs = 0
        self.causes = [_cause(cut, step) for step in range(len(cut))]

    def add(self, walked: Walked, release: Release) -> None:
        """Count the waiting of some more runs."""
        seen = slice(0, walked.begun.shape[1])
        goes_on = ~np.roll(self.cut.is_last, 1)
        rest = np.array(self.cut.rest_min)
        for step in range(len(self.cut)):
            by_itself: NDArray[np.floating] | float = 0.0
            if goes_on[step]:
                by_itself = np.minimum(walked.ended[step - 1, seen] + rest[step - 1], FAR)
            ready = np.maximum(release.of(step)[seen], by_itself)
            self.held[step] += (ready - by_itself).sum(dtype=np.float64)
            self.hands[step] += (walked.begun[step] - ready).sum(dtype=np.float64)
        self.runs += walked.begun.shape[1]

    def by_build(self) -> list[dict[str, float]]:
        """Hours waited on average by each build, by cause."""
        found: list[dict[str, float]] = [{} for _build in self.cut.first_of]
        for step, build in enumerate(self.cut.build):
            for cause, minutes in ((HANDS, self.hands[step]), (self.causes[step], self.held[step])):
                hours = max(float(minutes), 0.0) / self.runs / 60
                if cause and hours > 0:
                    found[build][cause] = found[build].get(cause, 0.0) + hours
        return found


def _cause(cut: Steps, step: int) -> str:
    """Of several holds before one step, the one that is likely to end last."""
    likely = [(wait.spread.median_h - wait.waited_h, wait.cause) for wait in cut.waits[step]]
    return max(likely)[1] if likely else ""


def answers(
    jobs: list[Job], finish: Drawn, delays: Delays, leaving: Leaving, odds: tuple[float, ...]
) -> tuple[Outlook, ...]:
    """One outlook a build; the moments are sorted in place."""
    kept = [_kept(row, job.promise_min) for row, job in zip(finish, jobs, strict=True)]
    finish.sort(axis=1)
    waits = delays.by_build()
    return tuple(
        _outlook(job, finish[place], kept[place], waits[place], leaving, odds)
        for place, job in enumerate(jobs)
    )


def _kept(moments: Drawn, latest: float | None) -> float | None:
    return None if latest is None else float(np.mean(moments <= latest))


def _outlook(
    job: Job,
    moments: Drawn,
    kept: float | None,
    waits: dict[str, float],
    leaving: Leaving,
    odds: tuple[float, ...],
) -> Outlook:
    finish = tuple(quantile(moments, share) for share in odds)
    days = tuple(day_by(moment, leaving) for moment in finish)
    drives = max(waits, key=lambda cause: waits[cause]) if waits else ""
    return Outlook(job.key, finish, days, kept, waits, drives)


def quantile(ascending: NDArray[np.floating] | Moments, share: float) -> float | None:
    """The value under which a share of sorted draws lies; None beyond what can be seen."""
    found = float(np.interp(share * (len(ascending) - 1), np.arange(len(ascending)), ascending))
    return found if found < FAR / 2 else None


def day_by(moment: float | None, leaving: Leaving) -> int | None:
    """The day on which leaves what is ready at a moment."""
    if moment is None:
        return None
    place = int(np.searchsorted(np.array(leaving.cut_offs), moment, side="left"))
    return leaving.days[place] if place < len(leaving.days) else None
