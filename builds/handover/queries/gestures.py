"""Reads the gestures of builds and the plans they come from, in the order they are told."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import TypeVar

from django.db.models import Count, Q

from builds.fitting.queries.listed import listed
from builds.handover.models import BoardGesture, Gesture
from builds.handover.states import Being
from builds.progress.models import Build
from builds.progress.queries import back_since, still_so
from builds.progress.states import PARTS_IN
from shop.stores.kinds import PartKind
from shop.stores.models import Part
from shop.web.reading import each_once

Line = Gesture | BoardGesture
OfOne = TypeVar("OfOne", Gesture, BoardGesture)
_ORDER = {being: place for place, being in enumerate(Being.values)}
TRIED_IN = PARTS_IN


def standing_gestures(build_ids: Iterable[int]) -> dict[int, list[Gesture]]:
    """Build id → its gestures: state by state, from asleep to hung, and inside one as ordered."""
    return each_once(standing_gestures, _standing, build_ids)


def _standing(build_ids: list[int]) -> dict[int, list[Gesture]]:
    found: dict[int, list[Gesture]] = {build_id: [] for build_id in build_ids}
    rows = Gesture.objects.filter(build__in=build_ids, ended_at=None).select_related("tried_by")
    for gesture in sorted(rows, key=as_told):
        found[gesture.build_id].append(gesture)
    return found


def as_told(line: Line) -> tuple[int, int, int]:
    """Where a line stands among others: by its state, then as it was ordered."""
    return _ORDER[line.being], line.position, line.pk


def is_tried(gesture: Gesture, back: datetime | None) -> bool:
    """Whether it was tried on the unit as it is; what came apart anew is tried anew."""
    return still_so(gesture.tried_at, back)


def by_being(lines: Sequence[OfOne]) -> list[tuple[str, list[OfOne]]]:
    """Lines in their order → the word of each state that has some, with its lines."""
    grouped = groupby(lines, key=lambda line: line.being)
    return [(str(Being(being).label), list(group)) for being, group in grouped]


def plan_of(part_id: int) -> list[BoardGesture]:
    """The lines of a board's plan that stand, as they are told."""
    return sorted(BoardGesture.objects.filter(part=part_id, retired=False), key=as_told)


def retired_of(part_id: int) -> list[BoardGesture]:
    """Lines that are taken over no more."""
    return sorted(BoardGesture.objects.filter(part=part_id, retired=True), key=as_told)


def boards_in(build: Build) -> list[Part]:
    """The sound boards of the stores on the list of a build."""
    parts = listed([build.pk]).get(build.pk, [])
    return [each.part for each in parts if each.kind == PartKind.BOARD and each.part]


def offered(build: Build, boards: Iterable[Part]) -> list[BoardGesture]:
    """Lines of its boards' plans that a build never had; one that was dropped is not offered."""
    had = Gesture.objects.filter(build=build, plan__isnull=False).values("plan")
    new = BoardGesture.objects.filter(part__in=list(boards), retired=False).exclude(pk__in=had)
    return sorted(new, key=as_told)


def earlier_builds(build: Build) -> list[Build]:
    """Other builds of the same hilt that have gestures, the newest first."""
    if build.hilt_id is None:
        return []
    standing = Count("gestures", filter=Q(gestures__ended_at=None))
    same = Build.objects.filter(hilt=build.hilt_id, number__lt=build.number)
    return list(same.annotate(lines=standing).filter(lines__gt=0).order_by("-number"))


def words_of(line: Line) -> tuple[str, ...]:
    """What a line says, to know one from another."""
    return line.being, line.wanted, line.do, line.see, line.hear, line.out


def not_here_yet(build: Build, source: Build) -> list[Gesture]:
    """Lines of another build of the hilt that this one has neither by plan nor by words."""
    own = list(Gesture.objects.filter(build=build))
    plans = {line.plan_id for line in own if line.plan_id}
    words = {words_of(line) for line in own}
    theirs = _standing([source.pk])[source.pk]
    return [each for each in theirs if each.plan_id not in plans and words_of(each) not in words]


@dataclass(frozen=True)
class Told:
    """The gestures of one build, as its page shows them."""

    groups: list[tuple[str, list[Gesture]]]
    boards: list[Part]
    offered: list[BoardGesture]
    source: Build | None  # the last build of the hilt, where it has lines that this one has not
    from_source: int
    untried: list[Gesture]
    dropped: list[Gesture]
    may_try: bool

    @property
    def count(self) -> int:
        """How many stand."""
        return sum(len(lines) for _being, lines in self.groups)


def told(build: Build) -> Told:
    """What the section of the page shows."""
    lines, back = standing_gestures([build.pk])[build.pk], back_since([build.pk]).get(build.pk)
    boards, earlier = boards_in(build), earlier_builds(build)[:1]
    fresh = not_here_yet(build, earlier[0]) if earlier else []
    dropped = Gesture.objects.filter(build=build, ended_at__isnull=False)
    return Told(
        groups=by_being(lines),
        boards=boards,
        offered=offered(build, boards),
        source=earlier[0] if fresh else None,
        from_source=len(fresh),
        untried=[line for line in lines if not is_tried(line, back)],
        dropped=sorted(dropped, key=as_told),
        may_try=build.state in TRIED_IN,
    )
