"""What a forecast takes and gives: frozen values. Moments are minutes from now, spans are hours."""

import math
from dataclasses import dataclass, field

from numpy import float64
from numpy.typing import NDArray

HANDS = "hands"  # what a build waits for that nothing holds

Moments = NDArray[float64]


@dataclass(frozen=True)
class Spread:
    """Hours that vary lognormally, and how well their median and spread are known.

    Spreads of one name share what is not known of them: if one kind of work takes longer than
    was thought, it does so for all builds of a run. ``weight`` and ``shape`` are those of the
    normal-inverse-gamma distribution of the log hours; infinite for figures that are known.
    """

    median_h: float
    log_sd: float
    weight: float = math.inf
    shape: float = math.inf
    name: str = ""

    def __post_init__(self) -> None:
        if not (self.median_h > 0 and math.isfinite(self.median_h)):
            raise ValueError("The median of a span of hours must be above zero.")
        if not (self.log_sd >= 0 and math.isfinite(self.log_sd)):
            raise ValueError("The spread of a span of hours must not be below zero.")
        if self.weight <= 0 or self.shape <= 0:
            raise ValueError("Behind a span of hours stands more than nothing.")


@dataclass(frozen=True)
class Extra:
    """Work that comes to a stage in some builds only, as rework or a stuck joint does.

    ``yes`` and ``no`` are the two parameters of the beta distribution of its chance.
    """

    spread: Spread
    yes: float
    no: float

    def __post_init__(self) -> None:
        if self.yes <= 0 or self.no <= 0:
            raise ValueError("A chance wants both counts above zero.")


@dataclass(frozen=True)
class Wait:
    """What holds a build: a span that began ``waited_h`` ago and has not ended yet."""

    cause: str
    spread: Spread
    waited_h: float = 0.0


@dataclass(frozen=True)
class Stage:
    """What a build still needs of one stage: hands, then hours that need none (burn-in, rest)."""

    code: str
    spread: Spread
    worked_h: float = 0.0
    rest_h: float = 0.0
    waits: tuple[Wait, ...] = ()  # these must end before hands go on
    extras: tuple[Extra, ...] = ()


@dataclass(frozen=True)
class Job:
    """One build of the queue: its stages to come, and the last moment that keeps its promise."""

    key: int
    stages: tuple[Stage, ...]
    is_opened: bool = False
    promise_min: float | None = None


@dataclass(frozen=True)
class Person:
    """When somebody works: openings and closings in turn, as minutes from now, ascending."""

    opens: Moments
    closes: Moments

    def __post_init__(self) -> None:
        if len(self.opens) != len(self.closes) or (self.closes <= self.opens).any():
            raise ValueError("Every opening wants its closing after it.")
        if (self.opens[1:] < self.closes[:-1]).any():
            raise ValueError("Working hours must not overlap.")
        if (self.opens % 1).any() or (self.closes % 1).any():
            raise ValueError("Working hours begin and end on whole minutes.")


@dataclass(frozen=True)
class Leaving:
    """Dispatch days as ordinals, and the cut-off of each as minutes from now, both ascending."""

    days: tuple[int, ...] = ()
    cut_offs: tuple[float, ...] = ()


@dataclass(frozen=True)
class Limits:
    """How many builds may be opened at once, and how many may stand in a stage."""

    opened: int = 6
    stages: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class Outlook:
    """What is to be expected of one build.

    ``finish_min`` and ``days`` answer the odds that were asked for, one each; a day is an ordinal.
    None: not within the hours, or the dispatch days, that were handed in. ``waits_h`` says how
    many hours it waits for what on average, ``drives`` which of them is the longest.
    """

    key: int
    finish_min: tuple[float | None, ...]
    days: tuple[int | None, ...]
    odds: float | None = None
    waits_h: dict[str, float] = field(default_factory=dict)
    drives: str = ""
