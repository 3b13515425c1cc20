"""The models of every room, gathered where Django looks for them."""

from builds.dispatch.models import Packed, Parcel
from builds.gates.models import Pass
from builds.hilts.models import Hilt
from builds.intake.models import (
    Arrival,
    Belonging,
    CellCheck,
    ConditionNote,
    Match,
    Photo,
    View,
)
from builds.progress.models import Build, Hold, Move, Place, Tray
from builds.queue.models import Promise

__all__ = [
    "Arrival", "Belonging", "Build", "CellCheck", "ConditionNote", "Hilt", "Hold", "Match", "Move",
    "Packed", "Parcel", "Pass", "Photo", "Place", "Promise", "Tray", "View",
]  # fmt: skip
