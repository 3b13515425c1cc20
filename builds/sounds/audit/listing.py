"""Lists of files with their SHA-256, as programs write them, and what differs between two."""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

MOST_LINES = 20_000
_COMMON = re.compile(r"(\\?)([0-9a-fA-F]{64}) [ *](.+)")
_NAMED = re.compile(r"SHA2?-?256 ?\((.+)\) ?= ?([0-9a-fA-F]{64})")


class NoList(ValueError):
    """A text that is no list of checksums; ``line`` is the first that says nothing."""

    def __init__(self, line: int) -> None:
        super().__init__(line)
        self.line = line


@dataclass(frozen=True)
class Difference:
    """What a card has against its list."""

    same: int
    missing: list[str]
    changed: list[str]
    extra: list[str]

    @property
    def is_none(self) -> bool:
        """Whether everything is there and nothing more."""
        return not (self.missing or self.changed or self.extra)


def read_list(text: str) -> dict[str, str]:
    """Path → SHA-256, from lines as sha256sum or shasum write them.

    :raises NoList: a line is none of these, or there is none.
    """
    found: dict[str, str] = {}
    lines = text.lstrip("\ufeff").splitlines()
    for number, line in enumerate(lines[: MOST_LINES + 1], start=1):
        if not line.strip() or line.startswith("#"):
            continue
        path, digest = _line(line.rstrip(), number)
        found[_plain(path)] = digest.lower()
    if not found or len(lines) > MOST_LINES:
        raise NoList(len(lines) and min(len(lines), MOST_LINES))
    return found


def _line(line: str, number: int) -> tuple[str, str]:
    if "\0" in line:
        raise NoList(number)
    if common := _COMMON.fullmatch(line):
        escaped, digest, path = common.groups()
        # A name with a line's end or a backslash in it is written so that it stays one line.
        return (path.replace("\\n", "\n").replace("\\\\", "\\") if escaped else path), digest
    if named := _NAMED.fullmatch(line):
        return named[1], named[2]
    raise NoList(number)


def _plain(path: str) -> str:
    """Without a leading "./", with strokes one way, composed alike whatever system wrote it."""
    plain = unicodedata.normalize("NFC", path.replace("\\", "/"))
    while plain.startswith("./"):
        plain = plain[2:]
    return plain.lstrip("/")


def compare(wanted: Mapping[str, str], found: Mapping[str, str]) -> Difference:
    """What is missing, changed and extra on a card. A folder around everything does not count."""
    here = _beneath(found, wanted)
    known = {
        path: digest for path, digest in here.items() if path in wanted or not _is_litter(path)
    }
    return Difference(
        same=sum(known.get(path) == digest for path, digest in wanted.items()),
        missing=sorted(path for path in wanted if path not in known),
        changed=sorted(p for p, digest in wanted.items() if known.get(p, digest) != digest),
        extra=sorted(path for path in known if path not in wanted),
    )


def _beneath(found: Mapping[str, str], wanted: Iterable[str]) -> dict[str, str]:
    """The list as seen from the folder in which most of it is where it belongs."""
    names, best = set(wanted), dict(found)
    folders = {path.rsplit("/", depth)[0] for path in found for depth in (1, 2, 3)}
    for folder in sorted(folders)[:200]:
        cut = {
            path.removeprefix(f"{folder}/") if path.startswith(f"{folder}/") else path: digest
            for path, digest in found.items()
        }
        if len(cut) == len(found) and len(names & cut.keys()) > len(names & best.keys()):
            best = cut
    return best


def _is_litter(path: str) -> bool:
    """Whether a system left it there by itself: such names begin with a dot, or are known."""
    parts = path.split("/")
    return parts[0] == "System Volume Information" or any(part.startswith(".") for part in parts)
