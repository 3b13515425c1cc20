"""The models of every room, gathered where Django looks for them."""

from builds.dispatch.models import Packed, Parcel
from builds.fitting.models import BuildPart, Decision, Plan, WireRun
from builds.gates.models import Pass
from builds.hilts.models import Hilt, Hole, Joint, Measurement, Section, Step, StepLink
from builds.importing.models import Finding, Import, Made
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
from builds.sounds.models import Brightness, Slot
from builds.teardown.models import Attempt, DepthTried, StepDone, TakenOut

__all__ = [
    "Arrival", "Attempt", "Belonging", "Brightness", "Build", "BuildPart", "CellCheck",
    "ConditionNote", "Decision", "DepthTried", "Finding", "Hilt", "Hold", "Hole", "Import",
    "Joint", "Made", "Match",
    "Measurement", "Move", "Packed", "Parcel", "Pass", "Photo", "Place", "Plan", "Promise",
    "Section", "Slot", "Step", "StepDone", "StepLink", "TakenOut", "Tray", "View", "WireRun",
]  # fmt: skip
