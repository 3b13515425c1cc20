"""Reads the gestures of builds and the plans they come from, in the order they are told."""

from collections.abc import Iterable

from builds.handover.models import Gesture
from builds.handover.states import Being

_ORDER = {being: place for place, being in enumerate(Being.values)}


def standing_gestures(build_ids: Iterable[int]) -> dict[int, list[Gesture]]:
    """Build id → its gestures: state by state, from asleep to hung, and inside one as ordered."""
    ids = list(build_ids)
    found: dict[int, list[Gesture]] = {build_id: [] for build_id in ids}
    rows = Gesture.objects.filter(build__in=ids, ended_at=None).select_related("tried_by")
    for gesture in sorted(rows, key=_as_told):
        found[gesture.build_id].append(gesture)
    return found


def _as_told(gesture: Gesture) -> tuple[int, int, int]:
    return _ORDER[gesture.being], gesture.position, gesture.pk
