"""Reads pasted lines of tracking numbers: which parcel a line names, and its number. Pure."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

LONGEST_NAME = 6  # words
LONGEST_TRACKING = 60
MOST_LINES = 400
_GAPS = re.compile(r"[\s,;|]+")
_ALONE = re.compile(r"(?=(?:\D*\d){4})[A-Z0-9][A-Z0-9./-]{7,}", re.IGNORECASE)
_PIECE = re.compile(r"[A-Z0-9-]*\d[A-Z0-9-]*|[A-Z]{1,3}", re.IGNORECASE)
_ORDER = re.compile(r"\d{4}-\d{3,}")


@dataclass(frozen=True)
class Known:
    """A parcel that a line may mean: what it goes by, and the number that it has already."""

    parcel: int
    words: str
    names: frozenset[str]
    tracking: str = ""
    carrier: str = ""


@dataclass(frozen=True)
class Line:
    """One pasted line: a parcel and its number, or in a sentence why not."""

    text: str
    parcel: int = 0
    tracking: str = ""
    why: str = ""


def folded(name: str) -> str:
    """A name as it is compared: case-folded, its words one space apart."""
    return " ".join(piece.strip("#:.()") for piece in _GAPS.split(name.casefold()) if piece)


_TAG = re.compile(r"build\W+0*(\d{1,9})(?!\d)", re.IGNORECASE)
_TYPED = re.compile(r"\W*0*(\d{1,9})\W*")


def build_meant(text: str) -> int | None:
    """The number of the build that a scanned tag or a typed number names; None for anything else.

    A tag holds the build's address. Scanners type as a keyboard does: where theirs has another
    layout, other signs stand between the words, and the number is still read.
    """
    found = _TAG.search(text) or _TYPED.fullmatch(text.strip())
    return int(found[1]) or None if found else None


def number_names(number: int) -> set[str]:
    """How people write the number of a build."""
    return {str(number), f"{number:04d}"}


def tray_names(number: int) -> set[str]:
    """How people write the number of a tray."""
    digits = (str(number), f"{number:02d}")
    return {*digits, *(f"{word}{d}" for word in ("t", "tray", "tray ") for d in digits)}


def read(text: str, known: Iterable[Known]) -> list[Line]:
    """The lines of a text, in their order, each tied to one parcel or to a sentence."""
    by_id = {one.parcel: one for one in known}
    index: dict[str, set[int]] = {}
    for one in by_id.values():
        for name in one.names:
            index.setdefault(name, set()).add(one.parcel)
    lines = [line.strip() for line in text.splitlines() if line.strip()][:MOST_LINES]
    found: list[Line] = []
    for line in lines:
        found.append(_once(_line(line, index, by_id), found, by_id))
    return found


def _line(text: str, index: dict[str, set[int]], by_id: dict[int, Known]) -> Line:
    tokens = [token for token in _GAPS.split(text) if token]
    spans = _named(tokens, index)
    if not spans:
        return Line(text, why=_("Nothing in this line names a parcel that waits for its number."))
    meant = set.intersection(*(ids for _first, _last, ids in spans))
    if len(meant) != 1:
        return Line(text, why=_which(meant or set.union(*(ids for *_span, ids in spans)), by_id))
    tracking = _tracking(tokens, spans)
    if not tracking:
        return Line(text, why=_("There is no tracking number in this line, or more than one."))
    if len(tracking) > LONGEST_TRACKING:
        return Line(text, why=_("This tracking number is too long: 60 signs at most."))
    return _fresh(text, by_id[meant.pop()], tracking)


def _fresh(text: str, one: Known, tracking: str) -> Line:
    if not one.tracking:
        return Line(text, one.parcel, tracking)
    if _tight(one.tracking) == _tight(tracking):
        return Line(text, why=_("Kept already: %(parcel)s.") % {"parcel": one.words})
    return Line(
        text,
        why=_("%(parcel)s has another number already: %(number)s. Change it at the parcel.")
        % {"parcel": one.words, "number": one.tracking},
    )


def _named(tokens: Sequence[str], index: dict[str, set[int]]) -> list[tuple[int, int, set[int]]]:
    """Where names stand in a line; a name inside a longer one does not count."""
    found = []
    for first in range(len(tokens)):
        for last in range(min(first + LONGEST_NAME, len(tokens)), first, -1):
            name = folded(" ".join(tokens[first:last]))
            # A bare number names something at an end of the line; elsewhere it may be a street's.
            at_an_end = first == 0 or last == len(tokens)
            if name in index and (at_an_end or not name.isdecimal()):
                found.append((first, last, index[name]))
                break
    return [
        one
        for one in found
        if not any(
            other[0] <= one[0] and one[1] <= other[1] and other is not one for other in found
        )
    ]


def _tracking(tokens: Sequence[str], spans: Sequence[tuple[int, int, set[int]]]) -> str:
    taken = {place for first, last, _ids in spans for place in range(first, last)}
    rest = [place for place in range(len(tokens)) if place not in taken]
    alone = [
        tokens[place]
        for place in rest
        if _ALONE.fullmatch(tokens[place]) and not _ORDER.fullmatch(tokens[place])
    ]
    if alone:
        return alone[0] if len(alone) == 1 else ""
    # Written in groups, as many carriers print it: the groups stand side by side.
    groups = [tokens[place] for place in rest]
    side_by_side = rest == list(range(rest[0], rest[-1] + 1)) if rest else False
    tight = "".join(groups)
    in_groups = side_by_side and all(_PIECE.fullmatch(group) for group in groups)
    enough = len(tight) >= 6 and sum(sign.isdigit() for sign in tight) >= 4
    return " ".join(groups) if in_groups and enough and not _ORDER.fullmatch(tight) else ""


def _which(ids: set[int], by_id: dict[int, Known]) -> str:
    names = sorted(by_id[one].words for one in ids)
    return _("This could be %(these)s. Write the build's number before it.") % {
        "these": _(" or ").join(names[:4])
    }


def _once(line: Line, before: Sequence[Line], by_id: dict[int, Known]) -> Line:
    """A parcel has one number, and a number one parcel."""
    for other in before:
        if not (line.parcel and other.parcel):
            continue
        if other.parcel == line.parcel:
            return Line(
                line.text,
                why=_("A line above gives %(parcel)s its number already.")
                % {"parcel": by_id[line.parcel].words},
            )
        if _tight(other.tracking) == _tight(line.tracking):
            return Line(line.text, why=_("A line above gives this number to another parcel."))
    return line


def _tight(tracking: str) -> str:
    return re.sub(r"[\s-]", "", tracking).upper()
