"""What a sum has to say: typed values, whose words are made where they are shown."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType


class Level(StrEnum):
    """How much a finding weighs."""

    STOPS = "stops"  # a limit is broken: the build may not go on
    DECIDE = "decide"  # somebody has to say yes once
    KNOW = "know"  # worth knowing


@dataclass(frozen=True)
class Finding:
    """One thing that a sum found.

    ``code`` is what it is, the same for every build; ``about`` the thing it was found at (a
    section, a wire run, a part), in the words that the caller gave; ``figures`` the numbers that
    its sentence needs, units in their names.
    """

    level: Level
    code: str
    about: str = ""
    figures: Mapping[str, float | str] = field(default_factory=lambda: MappingProxyType({}))
