"""Draws hours: lognormal, with medians and spreads that are themselves not quite known."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from shop.diary.forecast.values import Extra, Spread

Drawn = NDArray[np.float32]
TRIES = 200


@dataclass(frozen=True)
class Known:
    """Mean and standard deviation of the log hours, one pair a run."""

    mean: Drawn
    sd: Drawn

    def part(self, runs: slice) -> "Known":
        """The same for some of the runs."""
        return Known(self.mean[runs], self.sd[runs])


def of_builds(keys: Sequence[int], seed: int) -> list[np.random.Generator]:
    """A source of chance for each build that is the same wherever in the queue it stands."""
    met: Counter[int] = Counter()
    found = []
    for key in keys:
        found.append(np.random.default_rng([seed, key & 0xFFFFFFFF, met[key]]))
        met[key] += 1
    return found


def _of_name(name: str, seed: int) -> np.random.Generator:
    """A source of chance that the same name has in every forecast."""
    return np.random.default_rng([seed, crc32(name.encode()), 1 << 31])


def known(spreads: Iterable[Spread], runs: int, seed: int) -> dict[Spread, Known]:
    """What the log hours might be in each run: sd² inverse-gamma, mean normal around the median."""
    return {
        spread: _known(spread, runs, _of_name(spread.name or repr(spread), seed))
        for spread in dict.fromkeys(spreads)
    }


def _known(spread: Spread, runs: int, rng: np.random.Generator) -> Known:
    sd = np.full(runs, spread.log_sd)
    if np.isfinite(spread.shape):
        sd *= np.sqrt(spread.shape / rng.standard_gamma(spread.shape, runs))
    mean = np.full(runs, np.log(spread.median_h))
    if np.isfinite(spread.weight):
        mean += sd / np.sqrt(spread.weight) * rng.standard_normal(runs)
    return Known(mean.astype(np.float32), sd.astype(np.float32))


def add_hours(work: Drawn, learnt: Known, rng: np.random.Generator, kept: Drawn) -> None:
    """Add the hours of one stage to the work of a step, run by run.

    One row at a time, in ``kept``, stays in the processor's own memory.
    """
    rng.standard_normal(dtype=np.float32, out=kept)
    np.multiply(kept, learnt.sd, out=kept)
    np.add(kept, learnt.mean, out=kept)
    np.exp(kept, out=kept)
    np.add(work, kept, out=work)


def left(spread: Spread, worked_h: float, learnt: Known, rng: np.random.Generator) -> Drawn:
    """Hours still to come of a span that has lasted some hours and is not over.

    The log is drawn from the part of its normal distribution above that of the hours worked.
    """
    if worked_h <= 0:
        return np.exp(learnt.mean + learnt.sd * rng.standard_normal(len(learnt.mean)))
    certain = learnt.sd <= 0
    sd = np.where(certain, np.float32(1), learnt.sd)
    above = (np.log(worked_h) - learnt.mean) / sd
    whole = np.exp(learnt.mean + learnt.sd * _above(above.astype(np.float64), rng))
    whole[certain] = np.exp(learnt.mean[certain])
    return np.maximum(whole - worked_h, 0).astype(np.float32)


def _above(bound: NDArray[np.float64], rng: np.random.Generator) -> NDArray[np.float64]:
    """Standard normal draws above a bound, by rejection; in the tail from an exponential one.

    C. P. Robert, Simulation of truncated normal variables, Statistics and Computing 5 (1995).
    """
    found, open_ = bound.copy(), np.arange(len(bound))
    for _try in range(TRIES):
        if not len(open_):
            break
        low = bound[open_]
        rate = (low + np.sqrt(low * low + 4)) / 2
        tail = low + rng.standard_exponential(len(open_)) / rate
        likely = rng.random(len(open_)) <= np.exp(-((tail - rate) ** 2) / 2)
        plain = rng.standard_normal(len(open_))
        drawn = np.where(low > 0, tail, plain)
        taken = np.where(low > 0, likely, plain > low)
        found[open_[taken]] = drawn[taken]
        open_ = open_[~taken]
    return found


def add_extra(work: Drawn, learnt: Known, odds: Drawn, rng: np.random.Generator) -> None:
    """Add hours on top where chance brings them."""
    runs = np.nonzero(rng.random(len(odds), dtype=np.float32) < odds)[0]
    normal = rng.standard_normal(len(runs), dtype=np.float32)
    work[runs] += np.exp(learnt.mean[runs] + learnt.sd[runs] * normal)


def chances(extras: Iterable[Extra], runs: int, seed: int) -> dict[Extra, Drawn]:
    """How likely each extra is, one chance a run."""
    return {
        one: _of_name(f"chance {one!r}", seed).beta(one.yes, one.no, runs).astype(np.float32)
        for one in dict.fromkeys(extras)
    }
