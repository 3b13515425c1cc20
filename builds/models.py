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
from builds.feeds.models import Feed, FeedEvent
from builds.fitting.models import BuildPart, Decision, Plan, WireRun
from builds.gates.models import Pass
from builds.handover.models import (
    BoardGesture,
    Booklet,
    Chapter,
    Film,
    Gesture,
    Return,
    ReturnPhoto,
    ShotTick,
    Warranty,
)
from builds.hilts.models import Blade, Hilt, Hole, Joint, Measurement, Section, Step, StepLink
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
from builds.progress.models import Build, Hold, Move, Place, Stretch, Tray
from builds.proving.models import (
    Instrument,
    Reading,
    Rework,
    Run,
    RunLine,
    SheetLine,
    Timer,
)
from builds.queue.models import (
    Alarm,
    LinePlace,
    Outcome,
    Outlook,
    Promise,
    Reckoning,
    StageLimit,
)
from builds.sounds.models import (
    Brightness,
    CardCheck,
    CardKept,
    CardListing,
    CardProfile,
    Slot,
    SoundFile,
    SoundSet,
)
from builds.teardown.models import Attempt, DepthTried, StepDone, TakenOut

__all__ = [
    "Alarm", "Arrival", "Attempt", "Belonging", "Blade", "BoardGesture", "Booklet", "Brightness",
    "Build", "BuildPart", "CardCheck", "CardKept", "CardListing", "CardProfile", "CarrierRule",
    "CellCheck", "Chapter", "ConditionNote", "Decision", "DepthTried", "Feed", "FeedEvent", "Film",
    "Finding", "Gesture", "Hilt", "Hold", "Hole", "Import", "Instrument", "Joint", "LinePlace",
    "Made", "Match", "Measurement", "Move", "Outcome", "Outlook", "PackTick", "Packed",
    "PackedGoods", "Parcel", "Pass", "Photo", "Place", "Plan", "Promise", "Reading", "Reckoning",
    "Return", "ReturnPhoto", "Rework", "Run", "RunLine", "Section", "Service", "SheetLine",
    "ShotTick", "Slot", "SoundFile", "SoundSet", "StageLimit", "Step", "StepDone", "StepLink",
    "Stowed", "Stretch", "TakenOut", "Timer", "Tray", "View", "Warranty", "WireRun",
]  # fmt: skip
