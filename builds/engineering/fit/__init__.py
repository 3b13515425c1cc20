"""Whether things go into a hilt: across the bore, along it, and the blade in its socket.

Comparisons are made on the unrounded numbers, less what floats add by themselves.
"""

from builds.engineering.fit.blades import LEAST_DEPTH_MM, blade
from builds.engineering.fit.bores import (
    Placed,
    across,
    bundle_mm,
    clearance_mm,
    least_bore_mm,
    place,
    round_part,
)
from builds.engineering.fit.lengths import (
    Length,
    Stack,
    Term,
    lengthwise,
    room_left_mm,
    slack_findings,
    stack_up,
)
from builds.engineering.fit.rounding import Clearance, shown_bore_mm, shown_clearance_mm

__all__ = [
    "LEAST_DEPTH_MM", "Clearance", "Length", "Placed", "Stack", "Term",
    "across", "blade", "bundle_mm", "clearance_mm", "least_bore_mm", "lengthwise", "place",
    "room_left_mm", "round_part", "shown_bore_mm", "shown_clearance_mm", "slack_findings",
    "stack_up",
]  # fmt: skip
