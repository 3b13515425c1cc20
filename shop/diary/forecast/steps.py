"""The queue as steps: stretches of work at which a build stays in one pair of hands."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from shop.diary.forecast.values import Job, Limits, Stage, Wait


@dataclass(frozen=True)
class Row:
    """One stage of one build, which takes a row of drawn hours."""

    step: int
    stage: Stage


@dataclass
class Steps:
    """All steps in the queue's order; the lists go by step, but for those of builds and rows."""

    rows: list[Row] = field(default_factory=list)
    build: list[int] = field(default_factory=list)
    rest_min: list[float] = field(default_factory=list)
    waits: list[tuple[Wait, ...]] = field(default_factory=list)
    limited: list[int] = field(default_factory=list)  # 1 + place among the limits; 0 for none
    first_of: list[int] = field(default_factory=list)  # by build

    def __len__(self) -> int:
        return len(self.build)

    @property
    def is_last(self) -> NDArray[np.bool_]:
        """Whether a build is finished with a step."""
        return np.append(np.diff(np.array(self.build)) > 0, True)

    @property
    def last_of(self) -> NDArray[np.int64]:
        """The last step of each build."""
        return np.nonzero(self.is_last)[0]


def steps(jobs: Sequence[Job], limits: Limits) -> Steps:
    """Cut every build where it may have to wait: before a hold, after a rest, at a limit."""
    names = {code: place for place, (code, _most) in enumerate(limits.stages, start=1)}
    cut = Steps()
    for place, job in enumerate(jobs):
        if not job.stages:
            raise ValueError("A build in the queue wants at least one stage to come.")
        cut.first_of.append(len(cut))
        for stage, is_new in _cuts(job, names):
            if is_new:
                cut.build.append(place)
                cut.rest_min.append(0.0)
                cut.waits.append(stage.waits)
                cut.limited.append(names.get(stage.code, 0))
            cut.rest_min[-1] = stage.rest_h * 60
            cut.rows.append(Row(len(cut) - 1, stage))
    return cut


def _cuts(job: Job, limited: dict[str, int]) -> Iterator[tuple[Stage, bool]]:
    """Each stage, and whether a new step begins with it."""
    before: Stage | None = None
    for stage in job.stages:
        bounds = stage.code in limited or (before is not None and before.code in limited)
        rested = before is not None and before.rest_h > 0
        yield stage, before is None or rested or bool(stage.waits) or bounds
        before = stage
