"""Whether the cell, the wires and all between carry a build, for how long, and what stops it."""

from builds.engineering.power.budgets import budget
from builds.engineering.power.values import (
    IDLE_LIMIT_DAYS,
    LEAST_V,
    NEAR,
    WARM_C,
    Basis,
    Budget,
    Case,
    Cell,
    Drop,
    Limit,
    Load,
    Path,
    Rating,
    Run,
    Verdict,
)
from builds.engineering.power.verdicts import judge

__all__ = [
    "IDLE_LIMIT_DAYS",
    "LEAST_V",
    "NEAR",
    "WARM_C",
    "Basis",
    "Budget",
    "Case",
    "Cell",
    "Drop",
    "Limit",
    "Load",
    "Path",
    "Rating",
    "Run",
    "Verdict",
    "budget",
    "judge",
]
