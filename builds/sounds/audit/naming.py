"""Names of files: of what sort a sound is by its name, whether a card takes the name, a better one.

The words of sorts are common practice, no source: a hand may say otherwise.
"""

import re
import unicodedata
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from pathlib import PurePosixPath

from builds.sounds.audit.kinds import SOUND_ENDINGS

OTHER = "other"
# Sort → beginnings of words in names or folders that mean it; the first that fits counts.
SORTS: dict[str, tuple[str, ...]] = {
    "hum": ("hum", "idle"),
    "swing": ("swing", "swng", "swoosh", "whoosh"),
    "clash": ("clash", "clsh", "hit"),
    "blast": ("blast", "blst", "deflect"),
    "lock": ("lock", "drag", "melt"),
    "thrust": ("stab", "thrust", "spin"),
    "on": ("ignit", "poweron", "turnon", "out", "on"),
    "off": ("retract", "poweroff", "turnoff", "off", "in"),
    "music": ("music", "track", "theme", "song"),
    "voice": ("voice", "quote", "phrase", "name", "font"),
    "start": ("boot", "start", "wake", "preon"),
    "signal": ("beep", "batt", "low", "menu", "error", "click"),
}
SORT_CODES = (*SORTS, OTHER)
_SHORT = 3  # words so short mean something only as a whole: "on", "out", "in"
_WORD = re.compile(r"[a-z]+")


@dataclass(frozen=True)
class NameRule:
    """What a board's card takes as the name of a file, its ending included."""

    longest: int
    letters: str  # as between the brackets of a regular expression; empty: any
    ending: str

    def fits(self, stem: str) -> bool:
        """Whether a name, without its ending, is made of the letters allowed."""
        return not self.letters or re.fullmatch(f"[{self.letters}]+", stem) is not None


def sort_of(path: str) -> str:
    """Of what sort a sound is, by its own name first, then by its folders from the nearest."""
    for part in reversed(PurePosixPath(path.lower()).parts):
        words = _WORD.findall(part.split(".")[0])
        for sort, beginnings in SORTS.items():
            if any(_means(word, each) for word in words for each in beginnings):
                return sort
    return OTHER


def _means(word: str, beginning: str) -> bool:
    return word == beginning if len(beginning) <= _SHORT - 1 else _begins(word, beginning)


def _begins(word: str, beginning: str) -> bool:
    if len(beginning) == _SHORT:
        return word in (beginning, f"{beginning}s")
    return word.startswith(beginning)


def endings(path: str) -> list[str]:
    """The endings that say what a sound is: of "hum.wav.wav" both."""
    found: list[str] = []
    for suffix in reversed(PurePosixPath(path).suffixes):
        if suffix[1:].lower() not in SOUND_ENDINGS:
            break
        found.insert(0, suffix[1:].lower())
    return found


def ending(path: str) -> str:
    """The last ending, in small letters, without its dot."""
    return PurePosixPath(path).suffix[1:].lower()


def stem(path: str) -> str:
    """The name without folders and without the endings of sounds."""
    name = PurePosixPath(path).name
    for _each in endings(path):
        name = name.rpartition(".")[0]
    return name


def mended(path: str, rule: NameRule, taken: Collection[str]) -> str:
    """A name that the card takes and that none of the taken ones is, in folders mended alike.

    :param taken: names so far, with folders, case-folded: a card knows no capitals apart.
    """
    folders = [_letters(part, rule) for part in PurePosixPath(path).parts[:-1]]
    room = max(1, rule.longest - len(rule.ending) - 1)
    begun = _letters(stem(path), rule)[:room]
    for number in range(len(taken) + 1):
        mark = f"{number + 1}" if number else ""
        name = f"{begun[: room - len(mark)]}{mark}.{rule.ending}"
        whole = "/".join((*folders, name))
        if whole.casefold() not in taken:
            return whole
    raise AssertionError("more names are taken than there are")


def _letters(part: str, rule: NameRule) -> str:
    plain = unicodedata.normalize("NFKD", part).encode("ascii", "ignore").decode()
    fills = "_" if rule.fits("_") else ""
    kept = "".join(sign if rule.fits(sign) else fills for sign in plain.strip())
    kept = re.sub(r"[/\\]", "", kept).strip(". ")
    return kept or ("_" if rule.fits("_") else "x")


def in_use(paths: Iterable[str], cluster: int, sizes: Iterable[int]) -> int:
    """How many bytes files take on a card: whole clusters, and one for each folder."""
    folders = {str(folder) for path in paths for folder in PurePosixPath(path).parents}
    return sum(-(-size // cluster) * cluster for size in sizes) + len(folders) * cluster
