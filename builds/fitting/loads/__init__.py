"""From chosen parts, wires and slots to what the sums of power ask for: plain values, no table."""

from builds.fitting.loads.judged import Judged, judged
from builds.fitting.loads.values import (
    Chosen,
    Drawn,
    Given,
    Lack,
    Resisted,
    Shown,
    Strip,
    Wants,
    Wired,
)

__all__ = [
    "Chosen", "Drawn", "Given", "Judged", "Lack", "Resisted", "Shown", "Strip", "Wants", "Wired",
    "judged",
]  # fmt: skip
