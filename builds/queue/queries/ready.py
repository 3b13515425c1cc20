"""Reads which builds are finished and only wait to be fetched."""

from collections.abc import Iterable, Mapping
from datetime import datetime

from builds.gates.conditions import Condition, conditions
from builds.progress.models import Build, Move
from builds.progress.states import Leaves, State

AS_IT_IS_FETCHED = frozenset({"settled"})  # many a customer pays as they fetch it


def is_ready(build: Build, asked: Iterable[Condition]) -> bool:
    """Whether a build stands ready: it needs no hands any more, only its customer."""
    is_last = build.state == State.DISPATCH and build.leaves_by == Leaves.COLLECTION
    return is_last and all(one.is_open or one.code in AS_IT_IS_FETCHED for one in asked)


def ready_since(builds: Iterable[Build]) -> dict[int, datetime]:
    """Build id → since when it stands ready to be collected; in no query where none could be.

    From its move to dispatch on: its work was over then.
    """
    ends = {b.pk: b for b in builds if b.state == State.DISPATCH and b.leaves_by != Leaves.POST}
    asked = conditions(ends) if ends else {}
    return {
        pk: build.state_since for pk, build in ends.items() if is_ready(build, asked.get(pk, ()))
    }


def was_ready(builds: Iterable[Build]) -> Mapping[int, datetime]:
    """Build id → when what was collected had stood ready: as it had come to dispatch for good."""
    ids = [build.pk for build in builds if build.state == State.COLLECTED]
    moves = Move.objects.filter(build__in=ids, to_state=State.COLLECTED, undone_by=None)
    return dict(moves.order_by("pk").values_list("build", "was_since"))
