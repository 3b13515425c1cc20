"""How a run of the sheet stands: each line with its readings, the newest of which counts."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from builds.proving.models import LineLetBy, Reading, Run, RunLine, Timer
from builds.proving.states import Read, Verdict


@dataclass(frozen=True)
class Stands:
    """One line of a run. ``readings``: the newest first; ``timer``: the newest of its kind."""

    line: RunLine
    readings: tuple[Reading, ...] = ()
    let_by: LineLetBy | None = None
    timer: Timer | None = None

    @property
    def newest(self) -> Reading | None:
        """The reading that counts."""
        return self.readings[0] if self.readings else None

    @property
    def verdict(self) -> str:
        """What was said of the newest reading, empty where there is none."""
        return self.newest.verdict if self.newest else ""

    @property
    def is_passed(self) -> bool:
        """Whether its newest reading passed."""
        return self.verdict in {Verdict.PASS, Verdict.TELL}

    @property
    def is_failed(self) -> bool:
        """Whether its newest reading failed."""
        return self.verdict == Verdict.FAIL

    @property
    def has_failed(self) -> bool:
        """Whether any reading of it failed."""
        return any(reading.verdict == Verdict.FAIL for reading in self.readings)

    @property
    def is_open(self) -> bool:
        """Whether it is in the way of the build."""
        return not self.is_passed and self.let_by is None

    @property
    def asks_rework(self) -> bool:
        """Whether it failed, and nobody has said yet what was done about it."""
        return self.is_failed and self.rework is None

    @property
    def rework(self) -> object:
        """What was done about the newest reading, where it failed."""
        return getattr(self.newest, "put_right", None) if self.newest else None

    @property
    def is_timed(self) -> bool:
        """Whether it runs by itself."""
        return self.line.read == Read.TIMED


@dataclass(frozen=True)
class Standing:
    """A run and its lines in the order of the sheet."""

    run: Run
    lines: tuple[Stands, ...] = ()
    timers: tuple[Timer, ...] = field(default=())

    @property
    def open(self) -> list[Stands]:
        """What is in the way."""
        return [each for each in self.lines if each.is_open]

    @property
    def failed(self) -> list[Stands]:
        """Lines whose newest reading failed and that nobody has let by."""
        return [each for each in self.lines if each.is_failed and each.is_open]

    @property
    def unread(self) -> list[Stands]:
        """Lines that nobody has read yet."""
        return [each for each in self.lines if each.is_open and not each.readings]

    @property
    def told(self) -> list[Stands]:
        """Lines of which the customer is to be told."""
        return [each for each in self.lines if each.verdict == Verdict.TELL]

    @property
    def read(self) -> int:
        """How many lines are read or let by."""
        return len(self.lines) - len(self.unread)

    @property
    def is_passed(self) -> bool:
        """Whether nothing is in the way of the build any more."""
        return not self.open

    def of(self, code: str) -> Stands | None:
        """The line of a code, where this run asks it."""
        return next((each for each in self.lines if each.line.code == code), None)

    def waits_for(self, line: RunLine) -> Stands | None:
        """The line that must pass before this one may be tried, where it has not."""
        first = self.of(line.only_after) if line.only_after else None
        return first if first and not first.is_passed else None


def newest_runs(build_ids: Iterable[int]) -> dict[int, Run]:
    """Build id → its newest run, for those that have one."""
    runs: dict[int, Run] = {}
    for run in Run.objects.filter(build__in=list(build_ids)).select_related("begun_by"):
        runs.setdefault(run.build_id, run)
    return runs


def standings(runs: Iterable[Run]) -> dict[int, Standing]:
    """Run id → how it stands, in four queries for all."""
    runs = list(runs)
    lines: dict[int, list[RunLine]] = defaultdict(list)
    for line in RunLine.objects.filter(run__in=runs).select_related("let_by__by"):
        lines[line.run_id].append(line)
    readings: dict[int, list[Reading]] = defaultdict(list)
    kept = Reading.objects.filter(line__run__in=runs).order_by("-pk")
    for reading in kept.select_related("by", "instrument", "rework__by", "put_right__by"):
        readings[reading.line_id].append(reading)
    timers = _timers(runs)
    return {
        run.pk: Standing(
            run,
            tuple(
                _stands(line, readings[line.pk], timers.get(run.pk, ())) for line in lines[run.pk]
            ),
            tuple(timers.get(run.pk, ())),
        )
        for run in runs
    }


def standing(run: Run) -> Standing:
    """How one run stands."""
    return standings([run])[run.pk]


def _timers(runs: list[Run]) -> dict[int, list[Timer]]:
    """Run id → its timers, the newest first: those begun between it and the next run."""
    found: dict[int, list[Timer]] = defaultdict(list)
    kept = Timer.objects.filter(build__in=[run.build_id for run in runs]).order_by("-pk")
    for timer in kept.select_related("begun_by"):
        since = [
            run for run in runs
            if run.build_id == timer.build_id and run.begun_at <= timer.begun_at
        ]  # fmt: skip
        if since:
            found[max(since, key=_number).pk].append(timer)
    return found


def _number(run: Run) -> int:
    return run.number


def _stands(line: RunLine, readings: list[Reading], timers: Iterable[Timer]) -> Stands:
    timer = next((each for each in timers if each.what == line.code), None)
    return Stands(line, tuple(readings), getattr(line, "let_by", None), timer)


def ends(timer: Timer, now: datetime) -> bool:
    """Whether a timer has come to its end and nobody has taken note."""
    return timer.stopped_at is None and timer.over_at <= now
