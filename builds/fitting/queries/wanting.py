"""What open builds plan and have not set aside: parts on their lists, wire not cut yet."""

from collections import defaultdict
from dataclasses import dataclass

from builds.fitting.models import BuildPart, WireRun
from builds.progress.models import Build
from builds.progress.states import STAGES


@dataclass(frozen=True)
class Wanting:
    """So much of a part that one build wants."""

    build: Build
    quantity: int


def wanting() -> dict[int, list[Wanting]]:
    """Part id → the open builds that plan it and have none set aside, in two queries."""
    found: dict[int, list[Wanting]] = defaultdict(list)
    parts = BuildPart.objects.filter(
        part__isnull=False, reservation=None, fitted_at=None, ended_at=None, build__state__in=STAGES
    )
    for planned in parts.select_related("build__hilt").order_by("build__number"):
        found[planned.part_id or 0].append(Wanting(planned.build, planned.quantity))
    wires = WireRun.objects.filter(
        part__isnull=False, cut_at=None, ended_at=None, build__state__in=STAGES
    )
    for run in wires.select_related("build__hilt").order_by("build__number"):
        found[run.part_id or 0].append(Wanting(run.build, run.cut_in_all_mm))
    return found
