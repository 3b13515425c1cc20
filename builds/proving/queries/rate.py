"""How many builds pass their bench test at once, and what the others failed by."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from builds.progress.models import Move
from builds.progress.states import State
from builds.proving.models import Reading, Rework, Run
from builds.proving.states import Verdict

_MOST = 12  # causes that are named


@dataclass(frozen=True)
class Cause:
    """What went wrong in one stage: how often, and how long it took to put right."""

    stage: str
    words: str
    count: int
    minutes: int


@dataclass(frozen=True)
class StageSum:
    """All that was caused in one stage."""

    stage: str
    count: int
    minutes: int


@dataclass(frozen=True)
class Rate:
    """Builds that went through test in a time, and those that did so without a fail."""

    tested: int
    at_once: int
    stages: tuple[StageSum, ...]
    causes: tuple[Cause, ...]

    @property
    def percent(self) -> int | None:
        """The share in percent, none where nothing was tested."""
        return round(100 * self.at_once / self.tested) if self.tested else None


def first_pass(since: datetime, until: datetime) -> Rate:
    """The first-pass rate of a time: builds through the test without a fail ÷ builds tested.

    A build counts when it goes on to dispatch; every reading of each of its runs is looked at.
    """
    went = Move.objects.filter(
        from_state=State.TEST, to_state=State.DISPATCH, undoes=None, undone_by=None,
        at__gte=since, at__lt=until,
    )  # fmt: skip
    tested = set(Run.objects.filter(build__in=went.values("build")).values_list("build", flat=True))
    fails = Reading.objects.filter(line__run__build__in=tested, verdict=Verdict.FAIL)
    failed = set(fails.values_list("line__run__build", flat=True))
    stages, causes = _reworks(since, until)
    return Rate(len(tested), len(tested - failed), stages, causes)


def _reworks(since: datetime, until: datetime) -> tuple[tuple[StageSum, ...], tuple[Cause, ...]]:
    rows = Rework.objects.filter(at__gte=since, at__lt=until).order_by("pk")
    words: dict[tuple[str, str], str] = {}
    minutes: dict[tuple[str, str], list[int]] = defaultdict(list)
    for row in rows:
        key = (row.caused_in, row.cause.casefold().strip(" ."))
        words.setdefault(key, row.cause)
        minutes[key].append(row.minutes)
    causes = [
        Cause(str(State(stage).label), words[stage, said], len(all_of), sum(all_of))
        for (stage, said), all_of in minutes.items()
    ]
    by_stage: dict[str, list[int]] = defaultdict(list)
    for (stage, _said), all_of in minutes.items():
        by_stage[stage] += all_of
    stages = [StageSum(str(State(s).label), len(each), sum(each)) for s, each in by_stage.items()]
    return (
        tuple(sorted(stages, key=lambda each: -each.minutes)),
        tuple(sorted(causes, key=lambda each: (-each.count, -each.minutes))[:_MOST]),
    )
