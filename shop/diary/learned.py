"""Hours as a shop's own past teaches them, drawn towards first guesses while the past is short.

Pure. Log hours are normal with unknown mean and variance; the prior is normal-inverse-gamma:
κn = κ0 + n, μn = (κ0 μ0 + n x̄) / κn, αn = α0 + n/2,
βn = β0 + Σ(x − x̄)²/2 + κ0 n (x̄ − μ0)² / (2 κn)
(K. P. Murphy, Conjugate Bayesian analysis of the Gaussian distribution, 2007, section 3).
What is not known of median and spread goes into the forecast with the rest, so that a young shop
gets wide dates.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from shop.diary.forecast import Extra, Spread

LEAST_H = 1 / 60  # a timer that ran for less counts as a minute
ENOUGH = 10  # finished builds of a kind; below, a range is all that can be said


@dataclass(frozen=True)
class Guess:
    """What is thought of some hours before anything is known of a shop.

    ``weight`` says how many builds the median is worth, twice ``shape`` how many the spread is.
    """

    median_h: float
    log_sd: float = 0.38
    weight: float = 1.4
    shape: float = 6.0


@dataclass(frozen=True)
class Learned:
    """Hours to reckon with, and how many builds stand behind them."""

    spread: Spread
    builds: int

    @property
    def is_own(self) -> bool:
        """Whether the shop's own past says it, not a guess."""
        return self.builds >= ENOUGH


@dataclass(frozen=True)
class LearnedExtra:
    """Work that some builds bring on top: how many did, of how many."""

    extra: Extra
    happened: int
    builds: int


def hours(name: str, guess: Guess, past_h: Sequence[float]) -> Learned:
    """Hours learned from finished builds; equal to the guess while there is none."""
    logs = [math.log(max(each, LEAST_H)) for each in past_h]
    count, before = len(logs), math.log(guess.median_h)
    weight, shape = guess.weight + count, guess.shape + count / 2
    scale = guess.shape * guess.log_sd**2
    mean = before
    if logs:
        own = fmean(logs)
        mean = (guess.weight * before + count * own) / weight
        scale += sum((each - own) ** 2 for each in logs) / 2
        scale += guess.weight * count * (own - before) ** 2 / (2 * weight)
    spread = Spread(math.exp(mean), math.sqrt(scale / shape), weight, shape, name)
    return Learned(spread, count)


def on_top(
    name: str, guess: Guess, past_h: Sequence[float], builds: int, *, yes: float, no: float
) -> LearnedExtra:
    """Rework or stuck joints: how often they come, and the hours where they do.

    :param past_h: hours in each of the builds that had it.
    :param builds: how many finished builds there were in all.
    :param yes: with ``no``, what is thought of the chance before, as if seen in so many builds.
    """
    happened = len(past_h)
    if happened > builds:
        raise ValueError("No more builds can have had it than there were.")
    spread = hours(name, guess, past_h).spread
    return LearnedExtra(Extra(spread, yes + happened, no + builds - happened), happened, builds)


# Common practice, no source: middles of the hours that a workshop allows for, per stage. Install is
# chassis, wiring, sounds and assembly; dispatch is hand-over and packing.
FIRST_GUESSES: dict[str, dict[str, float]] = {
    "full": {"intake": 0.75, "teardown": 2.0, "install": 9.5, "test": 1.25, "dispatch": 1.25},
    "upgrade": {"intake": 0.75, "teardown": 1.5, "install": 5.0, "test": 1.25, "dispatch": 1.25},
    "repair": {"intake": 0.75, "teardown": 1.0, "install": 2.5, "test": 1.25, "dispatch": 1.0},
    "warranty": {"intake": 0.75, "teardown": 1.0, "install": 2.0, "test": 1.25, "dispatch": 1.0},
    "blade": {"intake": 0.25, "teardown": 0.25, "install": 2.5, "test": 0.75, "dispatch": 0.75},
}
STUCK = Guess(2.0, 0.5)  # a stuck joint: one to four hours more
REWORK = Guess(1.5, 0.7)
STUCK_CHANCE = (1.0, 6.0)
REWORK_CHANCE = (1.0, 5.0)


def guess(kind: str, stage: str) -> Guess:
    """The first guess for a stage of a kind of job."""
    return Guess(FIRST_GUESSES[kind][stage])
