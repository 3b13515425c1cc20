"""Reads arrivals, photos and what the gates ask of intake."""

from collections import defaultdict
from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass, field

from django.db.models import Exists, OuterRef, Q, QuerySet

from builds.intake.models import (
    Arrival,
    Belonging,
    CellCheck,
    CellResult,
    ConditionNote,
    Match,
    Photo,
    View,
)
from builds.progress.models import Build
from shop.web.reading import each_once, once

PACKED_VIEW = "packed"  # the view of the box before it leaves by post
LEAST_MILLIVOLTS = 2500  # a lithium cell under it is over-discharged; common practice, no source


@dataclass
class Facts:
    """What intake knows of one build."""

    arrivals: list[int] = field(default_factory=list)
    view_ids: set[int] = field(default_factory=set)
    # Asked of the box, not of the hilt: two hilts in one box are asked once.
    belongings_noted: bool = False
    unaccounted: list[str] = field(default_factory=list)
    notes: int = 0
    cell: CellCheck | None = None

    @property
    def why_cell_stays(self) -> str:
        """What the newest look found that keeps the cell from leaving the shop; empty if nothing.

        A result of the look, or "drained" where a whole one was measured too low.
        """
        if self.cell is None or self.cell.result == CellResult.NONE:
            return ""
        if self.cell.result != CellResult.GOOD:
            return self.cell.result
        volts = self.cell.millivolts
        return "drained" if volts is not None and volts < LEAST_MILLIVOLTS else ""


def facts(build_ids: Iterable[int]) -> dict[int, Facts]:
    """Build id → what intake knows of it, in a constant number of queries."""
    ids = list(build_ids)
    found: dict[int, Facts] = {build_id: Facts() for build_id in ids}
    holders: dict[int, list[int]] = defaultdict(list)
    for held in Match.objects.filter(build__in=ids, ended_at=None).select_related("arrival"):
        found[held.build_id].arrivals.append(held.arrival_id)
        found[held.build_id].belongings_noted |= held.arrival.nothing_else
        holders[held.arrival_id].append(held.build_id)
    photos = Photo.objects.filter(build__in=ids, view__isnull=False)
    for build_id, view_id in photos.order_by().values_list("build", "view").distinct():
        found[build_id].view_ids.add(view_id)
    for thing in Belonging.objects.filter(Q(build__in=ids) | Q(arrival__in=list(holders))):
        for build_id in {thing.build_id, *holders.get(thing.arrival_id, ())} & found.keys():
            _count(thing, build_id, found[build_id])
    for build_id in standing_notes(ids).values_list("build", flat=True):
        found[build_id].notes += 1
    for build_id, checks in cell_checks(ids).items():
        found[build_id].cell = checks[-1]
    return found


def cell_checks(build_ids: Iterable[int]) -> dict[int, list[CellCheck]]:
    """Build id → the looks at its cell, the oldest first."""
    return each_once(cell_checks, _cell_checks, build_ids)


def _cell_checks(build_ids: list[int]) -> dict[int, list[CellCheck]]:
    found: dict[int, list[CellCheck]] = defaultdict(list)
    for check in CellCheck.objects.filter(build__in=build_ids).order_by("at", "pk"):
        found[check.build_id or 0].append(check)
    return found


def standing_notes(build_ids: Iterable[int]) -> QuerySet[ConditionNote]:
    """Condition notes that speak for the hilts of builds, the oldest first.

    One that was written on a hilt that turned out to be another's does not.
    """
    held = Match.objects.filter(build=OuterRef("build"), arrival=OuterRef("came_by"), ended_at=None)
    notes = ConditionNote.objects.filter(build__in=list(build_ids))
    return notes.filter(Q(came_by=None) | Exists(held)).order_by("at", "pk")


def _count(thing: Belonging, build_id: int, known: Facts) -> None:
    known.belongings_noted = True
    is_ours = thing.build_id in {build_id, None}  # what nobody claims, each of them answers for
    if is_ours and thing.returned_at is None and not thing.kept_because:
        known.unaccounted.append(thing.what)


@once
def required_views() -> dict[str, list[View]]:
    """Stage → the views that its gate asks for."""
    grouped: dict[str, list[View]] = defaultdict(list)
    for view in View.objects.filter(required=True, retired=False):
        grouped[view.stage].append(view)
    return grouped


def packed_view() -> View | None:
    """The view of the packed box; None where the shop wants none."""
    return View.objects.filter(code=PACKED_VIEW, retired=False).first()


def packed_photos(build_ids: Iterable[int]) -> QuerySet[Photo]:
    """The photos of packed boxes, of builds."""
    shown = Photo.objects.filter(build__in=list(build_ids), view__code=PACKED_VIEW)
    return shown.select_related("blob", "view").order_by("taken_at", "pk")


def belongings_of(build_ids: Iterable[int]) -> QuerySet[Belonging]:
    """What came with builds and goes back with them, or is told why not."""
    return Belonging.objects.filter(build__in=list(build_ids)).order_by("build", "pk")


def arrivals() -> QuerySet[Arrival]:
    """Parcels that came, the newest first."""
    return Arrival.objects.select_related("received_by", "place").order_by("-came_at", "-pk")


def unmatched() -> QuerySet[Arrival]:
    """Parcels that nobody has tied to a build, nor said what became of them."""
    return arrivals().filter(is_matched=False, went="")


def photos_of(build_id: int) -> QuerySet[Photo]:
    """The photos of a build."""
    return Photo.objects.filter(build=build_id).select_related("blob", "view")


def kept_already(
    blob_id: int, *, build: Build | None = None, arrival: Arrival | None = None
) -> Photo | None:
    """The photo of these bytes that a build or a parcel has; None if it has none."""
    of = {"build": build} if build else {"arrival": arrival}
    return Photo.objects.filter(blob=blob_id, **of).select_related("view").first()


def shared_photos(build_ids: Iterable[int]) -> QuerySet[Photo]:
    """The photos that a customer may see."""
    return Photo.objects.filter(build__in=list(build_ids), shared=True).select_related(
        "blob", "view"
    )


@dataclass(frozen=True)
class Mark:
    """A numbered point on a photo, in percent of its width and height."""

    number: int
    across: str
    down: str


@dataclass(frozen=True)
class Marked:
    """A photo with the points on it."""

    photo: Photo
    marks: Sequence[Mark]


@dataclass(frozen=True)
class Noted:
    """A note with its number, which stands on a photo where it was marked."""

    number: int
    note: ConditionNote
    is_marked: bool


def numbered(notes: Iterable[ConditionNote], photos: Iterable[Photo]) -> list[Noted]:
    """Notes with their numbers, and whether one of the photos bears their mark."""
    blobs = {photo.blob_id for photo in photos}
    return [Noted(number, note, _is_on(note, blobs)) for number, note in enumerate(notes, start=1)]


def marked(photos: Iterable[Photo], noted: Sequence[Noted]) -> list[Marked]:
    """Those of the photos that bear marks."""
    return [Marked(photo, marks) for photo in photos if (marks := marks_on(photo, noted))]


def _is_on(note: ConditionNote, blobs: Container[int]) -> bool:
    return note.mark_x is not None and note.photo is not None and note.photo.blob_id in blobs


def marks_on(photo: Photo, noted: Iterable[Noted]) -> list[Mark]:
    """The points that notes have on a photo."""
    return [
        point(each.number, each.note.mark_x, each.note.mark_y)
        for each in noted
        if each.note.photo is not None
        and each.note.photo.blob_id == photo.blob_id
        and each.note.mark_x is not None
        and each.note.mark_y is not None
    ]


def point(number: int, across: float, down: float) -> Mark:
    """A point as a drawing takes it."""
    return Mark(number, f"{across * 100:.2f}%", f"{down * 100:.2f}%")
