"""Notes on a hilt's condition, and the photos that they are marked on."""

from collections.abc import Container, Iterable, Sequence
from dataclasses import dataclass

from builds.intake.models import ConditionNote, Photo
from builds.intake.queries import standing_notes
from builds.progress.models import Build


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


@dataclass(frozen=True)
class Condition:
    """Everything said of how a hilt looks: notes by section, photos with marks, other photos."""

    sections: Sequence[tuple[str, Sequence[Noted]]]
    marked: Sequence[Marked]
    plain: Sequence[Photo]


def condition_of(build: Build, photos: Sequence[Photo]) -> Condition:
    """How a build's hilt looked, beside its photos."""
    notes = standing_notes([build.pk]).select_related("by", "photo")
    blobs = {photo.blob_id for photo in photos}
    noted = [Noted(number, note, _is_on(note, blobs)) for number, note in enumerate(notes, start=1)]
    marked = [Marked(photo, marks) for photo in photos if (marks := marks_on(photo, noted))]
    shown = {each.photo.pk for each in marked}
    # The newest first: the views of the box itself were taken before those of the hilt.
    plain = [one for one in reversed(photos) if one.pk not in shown]
    return Condition(_by_section(noted), marked, plain)


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


def _by_section(noted: Iterable[Noted]) -> list[tuple[str, list[Noted]]]:
    found: dict[str, tuple[str, list[Noted]]] = {}
    for each in noted:
        word = each.note.section
        found.setdefault(word.casefold(), (word, []))[1].append(each)
    return list(found.values())
