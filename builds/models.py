"""The models of every room, gathered where Django looks for them."""

from builds.dispatch.models import (
    CarrierRule,
    Packed,
    PackedGoods,
    PackTick,
    Parcel,
    Service,
    Stowed,
)
from builds.fitting.models import BuildPart, Decision, Plan, WireRun
from builds.gates.models import Pass
from builds.hilts.models import Hilt, Hole, Joint, Measurement, Section, Step, StepLink
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
    "Arrival", "Attempt", "Belonging", "Brightness", "Build", "BuildPart", "CarrierRule",
    "CellCheck", "ConditionNote", "Decision", "DepthTried", "Hilt", "Hold", "Hole", "Joint",
    "Match", "Measurement", "Move", "PackTick", "Packed", "PackedGoods", "Parcel", "Pass",
    "Photo", "Place", "Plan", "Promise", "Section", "Service", "Slot", "Step", "StepDone",
    "StepLink", "Stowed", "TakenOut", "Tray", "View", "WireRun",
]  # fmt: skip
