"""What a condition is, and all that the conditions of one build are answered from."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from builds.dispatch.models import Parcel
from builds.dispatch.queries import Packing
from builds.dispatch.queries.classing import Classing
from builds.dispatch.queries.going import Going
from builds.fitting.models import Plan
from builds.fitting.queries.findings import Found
from builds.fitting.queries.foreseen import Foreseen
from builds.fitting.queries.listed import Fitted
from builds.gates.models import Pass
from builds.handover.models import Gesture
from builds.hilts.queries import Shape, TakeApart
from builds.intake.models import View
from builds.intake.queries import Facts
from builds.progress.models import Build, Hold
from builds.proving.queries import Proof
from builds.sounds.models import Slot
from builds.teardown.queries import Apart
from shop.house.models import House
from shop.orders.models import Answer

MET, UNMET, PASSED = "met", "unmet", "passed"
START, LEAVE = "start", "leave"


@dataclass(frozen=True)
class Condition:
    """One condition: its answer, in words, and where it is met.

    ``deed`` is what a button says that leads there; ``link`` is the part of the build sheet, or
    the address of another page.
    A condition that does not apply is not listed.
    """

    code: str
    state: str
    text: str
    deed: str = ""
    link: str = ""
    never_pass: bool = False

    @property
    def is_open(self) -> bool:
        """Whether the build may go by it."""
        return self.state in {MET, PASSED}

    @property
    def is_elsewhere(self) -> bool:
        """Whether it is met on a page of its own, beside the sheet."""
        return self.link.startswith("/")


@dataclass(frozen=True)
class Known:
    """All that the conditions of one build are answered from."""

    build: Build
    intake: Facts
    views: dict[str, list[View]]
    answers: dict[tuple[int, str], Answer]
    holds: list[Hold] = field(default_factory=list)
    parcel: Parcel | None = None
    classing: Classing | None = None  # of that parcel
    house: House = field(default_factory=House)
    packing: Packing | None = None  # of the parcel that it lies in, while it waits in dispatch
    parts: Fitted = field(default_factory=Fitted)
    back_since: datetime | None = None  # parts had gone in, and with them a cell
    foreseen: Foreseen | None = None  # None: no ceiling was agreed
    passes: dict[str, Pass] = field(default_factory=dict)  # code → the owner's word for this stay
    going: Going = field(default_factory=Going)
    # Of a build in teardown alone, on a hilt.
    shape: Shape | None = None
    steps: TakeApart | None = None
    apart: Apart | None = None
    plan: Plan | None = None
    proof: Proof | None = None  # of a build in test
    handed: bool = False  # a film or a booklet of a build in dispatch is published
    has_old_booklet: bool = False  # it was made before the build came back
    # Of a build in install or test.
    gestures: list[Gesture] = field(default_factory=list)
    slots: list[Slot] = field(default_factory=list)
    card_held: bool | None = None  # None: no list of the card was made
    found: Found | None = None  # what the sums found; of the kinds that are judged by them


Question = Callable[[Known], Condition | None]


def condition(
    code: str, met: bool, yes: str, no: str, deed: str, link: str, **more: bool
) -> Condition:
    """A condition with the words for yes, and the words and the deed for no."""
    return Condition(code, MET if met else UNMET, yes if met else no, deed, link, **more)
