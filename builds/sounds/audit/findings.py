"""What is found of a file and of a set: codes with their figures, in words elsewhere.

The bounds are common practice, no source.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import IntEnum
from statistics import median
from typing import Any

from builds.sounds.audit.kinds import ENDINGS, SOUND_ENDINGS, SOUNDS
from builds.sounds.audit.naming import OTHER, NameRule, ending, endings, stem

LEAD_S, TRAIL_S = 0.1, 1.0  # longer silence at the beginning or the end is said
APART_LU = 6.0  # so far from the middle of its own sort is said
FEWEST = 3  # of two sounds nobody can say which one is out
SHOUTS_LU = 4.0  # so far from the middle of the other slots is said


class Level(IntEnum):
    """How much a finding matters."""

    STOPS = 0  # a board will not play it
    MEND = 1
    KNOW = 2


@dataclass(frozen=True)
class Finding:
    """One thing found of one file."""

    code: str
    level: Level
    figures: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Wish:
    """What a board wants."""

    rate_hz: int
    bits: int
    channels: int
    names: NameRule


@dataclass(frozen=True)
class Heard:
    """A file of a set as it is judged."""

    path: str
    sort: str
    facts: Mapping[str, Any]


_FAULTS = {
    "truncated": Level.STOPS, "unfinished": Level.MEND, "riff-size": Level.MEND,
    "no-padding": Level.MEND, "chunk-cut": Level.MEND, "many-chunks": Level.MEND,
    "align": Level.STOPS, "byte-rate": Level.MEND, "part-frame": Level.MEND,
    "extensible": Level.MEND,
}  # fmt: skip


def of_file(path: str, facts: Mapping[str, Any]) -> list[Finding]:
    """What is wrong with a file whatever board it is for."""
    found = list(_of_kind(path, facts))
    if "unread" in facts:
        return [*found, Finding(str(facts["unread"]), Level.STOPS)]
    for fault in facts.get("faults", ()):
        figures = {"stated": facts["stated"], "there": facts["there"]}
        found.append(Finding(fault, _FAULTS[fault], figures))
    if facts.get("extra"):
        found.append(Finding("metadata", Level.MEND, {"chunks": ", ".join(facts["extra"])}))
    return [*found, *_of_sound(facts)]


def _of_kind(path: str, facts: Mapping[str, Any]) -> Iterable[Finding]:
    kind, said = facts["kind"], ending(path)
    if len(endings(path)) > 1:
        yield Finding("double-ending", Level.MEND, {"endings": ".".join(endings(path))})
    if kind == "unknown":
        return
    if kind == "empty":
        yield Finding("empty", Level.STOPS)
    elif kind == "zip":
        yield Finding("archive", Level.MEND)
    elif kind not in SOUNDS and said in SOUND_ENDINGS:
        yield Finding("no-sound", Level.STOPS, {"kind": kind, "ending": said})
    elif kind in SOUNDS and said not in ENDINGS[kind]:
        yield Finding("wrong-ending", Level.MEND, {"kind": kind, "ending": said})
    if kind == "mp4":
        yield Finding("unheard", Level.STOPS)


def _of_sound(facts: Mapping[str, Any]) -> Iterable[Finding]:
    if facts.get("is_packed"):
        yield Finding("packed", Level.MEND)
    if facts.get("seconds") == 0:
        yield Finding("no-samples", Level.STOPS)
    if facts.get("is_long"):
        yield Finding("long", Level.KNOW)
    if facts.get("is_silent"):
        yield Finding("silent", Level.STOPS)
    if facts.get("clips"):
        figures = {"times": facts["clips"], "longest": facts["longest_clip"]}
        yield Finding("clipped", Level.MEND, figures)
    if facts.get("lead_s", 0) > LEAD_S:
        yield Finding("late", Level.MEND, {"seconds": facts["lead_s"]})
    if facts.get("trail_s", 0) > TRAIL_S:
        yield Finding("quiet-end", Level.KNOW, {"seconds": facts["trail_s"]})


def against(path: str, facts: Mapping[str, Any], wish: Wish) -> list[Finding]:
    """What a board would not like about a file."""
    if facts["kind"] not in SOUNDS or "unread" in facts or not facts.get("seconds"):
        return []
    found = []
    if facts["kind"] != "wave":
        found.append(Finding("format", Level.STOPS, {"kind": facts["kind"]}))
    for name in ("rate_hz", "bits", "channels"):
        here, wanted = facts.get(name), getattr(wish, name)
        if name == "bits" and facts.get("is_float"):
            continue  # said by itself below
        if here is not None and here != wanted:
            found.append(Finding(name, Level.STOPS, {"here": here, "wanted": wanted}))
    if facts.get("is_float"):
        found.append(Finding("float", Level.STOPS, {"here": facts.get("bits") or 32}))
    return [*found, *_of_name(path, wish.names)]


def _of_name(path: str, rule: NameRule) -> Iterable[Finding]:
    name = path.rpartition("/")[2]
    if len(name) > rule.longest:
        yield Finding("long-name", Level.MEND, {"here": len(name), "wanted": rule.longest})
    if not rule.fits(stem(path)):
        yield Finding("letters", Level.MEND, {"wanted": rule.letters})
    if ending(path) != rule.ending.lower():
        yield Finding("ending", Level.MEND, {"here": ending(path), "wanted": rule.ending})


def loudness_by_sort(files: Iterable[Heard]) -> dict[str, float]:
    """Sort → the middle loudness of its files, in LUFS. What is of no sort has no middle."""
    heard: dict[str, list[float]] = defaultdict(list)
    for file in files:
        if file.sort != OTHER and file.facts.get("lufs") is not None:
            heard[file.sort].append(file.facts["lufs"])
    return {sort: median(each) for sort, each in heard.items()}


def among_its_sort(files: list[Heard]) -> dict[str, Finding]:
    """Path → what stands out: hum is held against hum, swing against swing, and nothing else."""
    middles = loudness_by_sort(files)
    counts = Counter(file.sort for file in files if file.facts.get("lufs") is not None)
    found = {}
    for file in files:
        loud = file.facts.get("lufs")
        if loud is None or file.sort == OTHER or counts[file.sort] < FEWEST:
            continue
        away = loud - middles[file.sort]
        if abs(away) > APART_LU:
            code = "louder" if away > 0 else "softer"
            figures = {"by": round(abs(away), 1), "sort": file.sort}
            found[file.path] = Finding(code, Level.KNOW, figures)
    return found


def shouting(slots: Mapping[int, Mapping[str, float]]) -> list[tuple[int, str, float]]:
    """Slots of which a sort is much louder or softer than that of the others: which, what, by.

    :param slots: place → sort → loudness.
    """
    found = []
    for sort in dict.fromkeys(sort for slot in slots.values() for sort in slot):
        heard = {place: slot[sort] for place, slot in slots.items() if sort in slot}
        for place, loud in heard.items():
            others = [each for other, each in heard.items() if other != place]
            if others and abs(loud - median(others)) > SHOUTS_LU:
                found.append((place, sort, round(loud - median(others), 1)))
    return found
