"""Which decisions hold: those whose finding is no worse today than when they were taken."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from builds.engineering.findings import Finding
from builds.engineering.given import NOISE
from builds.fitting.models import Decision, Plan

Words = Mapping[str, Sequence[Decision]]
# Code → how bad its figures are: more is worse. Full white is decided once a kit, whatever it is.
WORSE: Mapping[str, Callable[[Mapping[str, Any]], float]] = {
    "low-voltage": lambda figures: -figures["left_v"],
    "idle-days": lambda figures: -figures["idle_days"],
    "speaker-over": lambda figures: figures["most_w"] - figures["rating_w"],
    "cells-many": lambda figures: figures["cells"],
    "led-unlit": lambda figures: figures["forward_v"] - figures["supply_v"],
    "bore-may-be-too-small": lambda figures: figures["tolerance_mm"] - figures["clearance_mm"],
    "wall-part-meets": lambda figures: figures["over_mm"],
    "likely-too-long": lambda figures: -figures["rss_mm"],
}


def words_by_key(rows: Iterable[Decision], build_id: int, plan: Plan | None) -> Words:
    """Key → the decisions of a build and of its kit, the newest first; ``rows`` oldest first."""
    kit = plan.kit_id if plan else None
    found: dict[str, list[Decision]] = {}
    for row in rows:
        if row.build_id == build_id or (kit is not None and row.kit_id == kit):
            found.setdefault(row.code, []).insert(0, row)
    return found


def holding(rows: Sequence[Decision], found: Finding) -> Decision | None:
    """The newest decision that was taken on figures as bad as today's, or worse."""
    return next((row for row in rows if _holds(row, found)), None)


def lapsed(rows: Sequence[Decision]) -> Decision | None:
    """The newest of those that hold no more."""
    return rows[0] if rows else None


def _holds(row: Decision, found: Finding) -> bool:
    worse = WORSE.get(found.code)
    if worse is None or not row.figures:  # taken before figures were kept
        return True
    then, today = worse(row.figures), worse(found.figures)
    return today <= then + NOISE * max(1.0, abs(then))
