"""The sum of hours that vary on their own, without a calendar."""

from collections.abc import Sequence
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray


def quantiles(
    parts: Sequence[tuple[float, float]],
    shares: Sequence[float] = (0.5, 0.8, 0.95),
    runs: int = 20_000,
    seed: int = 0,
) -> tuple[float, ...]:
    """Quantiles of a sum of lognormal hours, each given by its median and the sd of its log.

    Latin hypercube: every part runs through the same evenly spaced quantiles in an order of its
    own, so that no part's share of the spread is left to chance.
    McKay, Beckman, Conover, Technometrics 21 (1979).
    """
    for median_h, log_sd in parts:
        if median_h <= 0 or log_sd < 0:
            raise ValueError("Hours want a median above zero and a spread that is not below it.")
    if any(not 0 < share < 1 for share in shares) or runs < 1:
        raise ValueError("A share lies between nought and one, and wants at least one run.")
    rng, even = np.random.default_rng(seed), _even(runs)
    total = np.zeros(runs)
    for median_h, log_sd in parts:
        total += median_h * np.exp(log_sd * rng.permutation(even))
    return tuple(float(found) for found in np.quantile(total, shares))


@lru_cache(maxsize=4)
def _even(runs: int) -> NDArray[np.float64]:
    normal = NormalDist()
    return np.array([normal.inv_cdf((place + 0.5) / runs) for place in range(runs)])
