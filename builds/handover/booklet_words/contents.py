"""What stands in a booklet: plain frozen values that JSON knows; the typesetter gets no other."""

from dataclasses import asdict, dataclass, field
from hashlib import sha256
from json import dumps
from typing import Any

# Counted up when a booklet says something else of the same facts: those before are then old.
EDITION = 1
_NOT_COMPARED = ("until", "as_of")  # follow from the facts, or from its leaving alone


@dataclass(frozen=True)
class Told:
    """A gesture: what is wanted, what to do, what is seen and heard, how to get out."""

    wanted: str
    do: str
    see: str = ""
    hear: str = ""
    out: str = ""


@dataclass(frozen=True)
class Being:
    """The gestures of one state of the hilt."""

    head: str
    rows: tuple[Told, ...]


@dataclass(frozen=True)
class Place:
    """A slot of the card, its colour also in words."""

    place: int
    name: str
    colour: str
    word: str
    look: str
    sounds: str = ""
    music: str = ""


@dataclass(frozen=True)
class Step:
    """A step of taking apart, with the label that it has on the way back too."""

    label: str
    words: str
    how: str = ""
    needs: str = ""


@dataclass(frozen=True)
class Steps:
    """Steps among which any order goes; ``said`` says so where there are several."""

    said: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Inside:
    """A part that is in the hilt."""

    what: str
    where: str = ""
    serial: str = ""


@dataclass(frozen=True)
class Measured:
    """A reading of the bench test that passed; ``told``: its owner is to know of it."""

    what: str
    read: str
    limit: str = ""
    told: str = ""


@dataclass(frozen=True)
class Length:
    """A section in the drawing of the hilt, in mm."""

    name: str
    mm: float
    outer_mm: float
    holds_blade: bool = False


Pair = tuple[str, str]


@dataclass(frozen=True)
class Contents:
    """Everything that a booklet says of one build. A part that is empty is left out of it."""

    lang: str
    shop: str
    hilt: str
    called: str
    number: str
    kind: str
    as_of: str
    lengths: tuple[Length, ...] = ()
    length: str = ""
    beings: tuple[Being, ...] = ()
    slots: tuple[Place, ...] = ()
    cap: str = ""
    licences: tuple[Pair, ...] = ()
    apart: tuple[Steps, ...] = ()
    back: tuple[Steps, ...] = ()
    ours: tuple[Pair, ...] = ()
    by_port: bool = False
    battery: tuple[Pair, ...] = ()
    leave: tuple[Pair, ...] = ()
    inside: tuple[Inside, ...] = ()
    blade: tuple[Pair, ...] = ()
    measured: tuple[Measured, ...] = ()
    tried: tuple[str, ...] = ()
    warranty_days: int = 0
    warranty_runs_on: bool = False  # put right under a warranty, which runs as it did
    warranty: str = ""
    until: str = ""  # the last day of the warranty, once it left
    mail: str = ""
    phone: str = ""
    link: str = ""
    edition: int = field(default=EDITION)

    def plain(self) -> dict[str, Any]:
        """As values that JSON knows."""
        return asdict(self)

    @property
    def mark(self) -> str:
        """What tells these contents from others: the same facts, the same mark."""
        said = {name: value for name, value in self.plain().items() if name not in _NOT_COMPARED}
        return sha256(dumps(said, sort_keys=True).encode()).hexdigest()
