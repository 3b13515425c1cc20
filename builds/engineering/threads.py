"""Screw threads of 60°: their diameters, and the drill before the tap."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from builds.engineering.given import positive

INCH_MM = 25.4
PITCH_DEPTH, MINOR_DEPTH = 0.649519, 1.082532  # of the pitch, ISO 68-1
CHARTED = "ASME B1.1, as charted by torquetoolbox.com and microadvances.com"
FROM_MEMORY = "ASME B1.1 and number drills, from memory"


@dataclass(frozen=True)
class InchThread:
    """A unified thread by its name, with the drill that charts give before the tap."""

    name: str
    major_in: float
    per_inch: int
    drill: str
    drill_in: float
    source: str

    @property
    def major_mm(self) -> float:
        """The outer diameter. Source: that of the row."""
        return self.major_in * INCH_MM

    @property
    def pitch_mm(self) -> float:
        """The pitch: 25.4 / (threads an inch). Source: definition of the inch."""
        return INCH_MM / self.per_inch

    @property
    def drill_mm(self) -> float:
        """The drill's diameter. Source: that of the row."""
        return self.drill_in * INCH_MM


def _inch(
    name: str, major_in: float, drill: str, drill_in: float, source: str = FROM_MEMORY
) -> InchThread:
    return InchThread(name, major_in, int(name.rsplit("-", 1)[1]), drill, drill_in, source)


INCH_THREADS: Mapping[str, InchThread] = MappingProxyType({
    thread.name: thread
    for thread in (
        _inch("0-80", 0.060, "3/64", 3 / 64),
        _inch("2-56", 0.086, "#50", 0.0700),
        _inch("4-40", 0.112, "#43", 0.0890, CHARTED),
        _inch("4-48", 0.112, "#42", 0.0935),
        _inch("5-40", 0.125, "#38", 0.1015),
        _inch("6-32", 0.138, "#36", 0.1065),
        _inch("8-32", 0.164, "#29", 0.1360, CHARTED),
        _inch("8-36", 0.164, "#29", 0.1360),
        _inch("10-24", 0.190, "#25", 0.1495),
        _inch("10-32", 0.190, "#21", 0.1590),
        _inch("1/4-20", 0.250, "#7", 0.2010),
        _inch("1/4-28", 0.250, "#3", 0.2130),
    )
})  # fmt: skip


def pitch_diameter_mm(major_mm: float, pitch_mm: float) -> float:
    """Diameter at mid-flank: d2 = d − 0.649519 P. Source: ISO 68-1, basic profile of 60°."""
    return _major(major_mm, pitch_mm) - PITCH_DEPTH * pitch_mm


def minor_mm(major_mm: float, pitch_mm: float) -> float:
    """Least diameter of the nut: D1 = d − 1.082532 P. Source: ISO 68-1, basic profile of 60°."""
    return _major(major_mm, pitch_mm) - MINOR_DEPTH * pitch_mm


def tap_drill_mm(major_mm: float, pitch_mm: float) -> float:
    """Drill before a metric tap: d − P. Source: ISO 724 sizes as charted by Tameson.

    Inch threads take theirs from a table: see :func:`inch_thread`.
    """
    return _major(major_mm, pitch_mm) - pitch_mm


def inch_thread(name: str) -> InchThread:
    """A unified thread and its drill, by a name like 8-32. Source: named in each row.

    :raises ValueError: where the table has none of that name.
    """
    bare = name.strip().upper().removesuffix("UNC").removesuffix("UNF")
    plain = bare.strip().removeprefix("#")
    if plain not in INCH_THREADS:
        raise ValueError(f"The table has no thread “{name}”: it knows {', '.join(INCH_THREADS)}.")
    return INCH_THREADS[plain]


def _major(major_mm: float, pitch_mm: float) -> float:
    major = positive(major_mm, "The thread's outer diameter in mm")
    if MINOR_DEPTH * positive(pitch_mm, "The pitch in mm") >= major:
        raise ValueError(
            f"A thread of {major:g} mm has no room for a pitch of {pitch_mm:g} mm:"
            " is the pitch in threads an inch?"
        )
    return major
