"""What the gate out of test reads: whether the newest run of a build is complete and passed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Max

from builds.progress.models import Move
from builds.progress.states import State
from builds.proving.models import Run
from builds.proving.queries.standing import Standing, newest_runs, standings


@dataclass(frozen=True)
class Proof:
    """How the bench test of a build stands; ``is_old``: it came back after its newest run."""

    standing: Standing | None = None
    is_old: bool = False

    @property
    def is_met(self) -> bool:
        """Whether the build may leave test."""
        return self.standing is not None and not self.is_old and self.standing.is_passed


def proofs(build_ids: Iterable[int]) -> dict[int, Proof]:
    """Build id → how its bench test stands, in a constant number of queries."""
    ids = list(build_ids)
    if not ids:
        return {}
    runs, came = newest_runs(ids), came_to_test(ids)
    found = standings(runs.values())
    return {
        pk: Proof(found[run.pk], is_old(run, came.get(pk))) if (run := runs.get(pk)) else Proof()
        for pk in ids
    }


def came_to_test(build_ids: Iterable[int]) -> dict[int, datetime]:
    """Build id → when it last came to test, by a move that takes nothing back."""
    moves = Move.objects.filter(build__in=list(build_ids), to_state=State.TEST, undoes=None)
    return dict(moves.order_by().values_list("build").annotate(Max("at")))


def is_old(run: Run, came_at: datetime | None) -> bool:
    """Whether a run says nothing any more: the build was worked on since."""
    return came_at is not None and run.begun_at < came_at
