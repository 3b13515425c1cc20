"""Notes on a hilt's condition, and the photos that they are marked on."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builds.intake.models import Photo
from builds.intake.queries import Marked, Noted, marked, numbered, standing_notes
from builds.progress.models import Build


@dataclass(frozen=True)
class Condition:
    """Everything said of how a hilt looks: notes by section, photos with marks, other photos."""

    sections: Sequence[tuple[str, Sequence[Noted]]]
    marked: Sequence[Marked]
    plain: Sequence[Photo]


def condition_of(build: Build, photos: Sequence[Photo]) -> Condition:
    """How a build's hilt looked, beside its photos."""
    notes = standing_notes([build.pk]).select_related("by", "photo")
    noted = numbered(notes, photos)
    with_marks = marked(photos, noted)
    shown = {each.photo.pk for each in with_marks}
    # The newest first: the views of the box itself were taken before those of the hilt.
    plain = [one for one in reversed(photos) if one.pk not in shown]
    return Condition(_by_section(noted), with_marks, plain)


def _by_section(noted: Iterable[Noted]) -> list[tuple[str, list[Noted]]]:
    found: dict[str, tuple[str, list[Noted]]] = {}
    for each in noted:
        word = each.note.section
        found.setdefault(word.casefold(), (word, []))[1].append(each)
    return list(found.values())
