"""What a fit is reckoned from and what comes out of it: lengths in mm, the blade's end at 0."""

from dataclasses import dataclass, field

from builds.engineering.findings import Finding
from builds.engineering.fit import Stack

MEASURED, TOLD, BELIEVED = "measured", "told", "believed"
STATED, TYPICAL, ESTIMATED = "stated", "typical", "estimated"
SURE = {MEASURED, STATED}


@dataclass(frozen=True)
class Size:
    """A length with how it is known: by whom and when stands in ``said``, in words."""

    mm: float
    basis: str = MEASURED
    tolerance: float = 0.0
    said: str = ""

    @property
    def is_sure(self) -> bool:
        """Whether somebody measured it, or who makes it states it."""
        return self.basis in SURE


@dataclass(frozen=True)
class Opening:
    """A hole through the wall: what for, how wide, how far behind the section's front edge."""

    what: str
    diameter: Size | None = None
    from_front: Size | None = None
    is_below: bool = False  # in the lower half, as the drawing shows it


@dataclass(frozen=True)
class Stretch:
    """A section as it is known; the blade's socket, the joint and the holes that belong to it."""

    key: int
    name: str
    length: Size | None = None
    bore: Size | None = None
    outer: Size | None = None
    holds_blade: bool = False
    socket_bore: Size | None = None
    socket_depth: Size | None = None
    joint: str = ""
    pitch: Size | None = None
    clock: Size | None = None  # degrees past its place, as the joint behind it is tight
    openings: tuple[Opening, ...] = ()


@dataclass(frozen=True)
class Item:
    """A chosen part: what of its sizes is known, where it goes, what it lies on."""

    key: int
    kind: str
    name: str
    section: int | None = None
    position: int = 0
    lies_on: int | None = None
    starts_mm: float | None = None  # behind its section's front edge; None: as far front as it goes
    diameter_mm: float | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    length_mm: float | None = None
    bay_mm: float | None = None
    quantity: int = 1
    is_typical: bool = False

    @property
    def long_mm(self) -> float:
        """What it takes along the hilt; several stand one behind the other."""
        return (self.length_mm or 0.0) * self.quantity

    @property
    def is_sized(self) -> bool:
        """Whether enough of it is known to place it across a bore."""
        return bool(self.diameter_mm or (self.width_mm and self.height_mm))


@dataclass(frozen=True)
class Tube:
    """A section in its place. What nobody knows is estimated, and says so."""

    given: Stretch
    x0: float
    x1: float
    bore: Size
    outer: Size
    length: Size

    @property
    def name(self) -> str:
        """The section's name."""
        return self.given.name


@dataclass(frozen=True)
class Thing:
    """A part in its place: from x0 to x1 along, from low to high above the centre line."""

    item: Item
    number: int
    x0: float
    x1: float
    low: float
    high: float
    role: str  # base, rider, chassis, wall
    fits: bool = True


@dataclass(frozen=True)
class Circle:
    """A round part across a bore; ``y`` above the centre."""

    item: Item
    x: float
    y: float
    diameter: float


@dataclass(frozen=True)
class Flat:
    """A board across a bore; ``y`` is its middle, above the centre."""

    item: Item
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Combo:
    """Parts side by side at one place, and the least bore that takes them."""

    items: tuple[Item, ...]
    x0: float
    x1: float
    how: str  # pair, round, bundle
    least_mm: float
    circles: tuple[Circle, ...] = ()
    flats: tuple[Flat, ...] = ()


@dataclass(frozen=True)
class Cut:
    """A combination in a bore: what is left, negative where it does not fit."""

    letter: str
    tube: Tube
    combo: Combo
    clearance_mm: float
    reaches: bool = False  # it belongs to a neighbour and reaches in here
    chassis: Item | None = None

    @property
    def fits(self) -> bool:
        """Whether the bore takes it."""
        return self.clearance_mm >= 0

    @property
    def x(self) -> float:
        """Where the plane cuts: in the middle of what it shares with the tube."""
        return (max(self.combo.x0, self.tube.x0) + min(self.combo.x1, self.tube.x1)) / 2


@dataclass(frozen=True)
class Blade:
    """The blade in its socket."""

    item: Item
    socket_x0: float
    end: float
    socket_bore: Size
    depth: Size


@dataclass(frozen=True)
class Gap:
    """Room along the hilt that nothing takes."""

    x0: float
    x1: float

    @property
    def mm(self) -> float:
        """How long it is."""
        return self.x1 - self.x0


@dataclass(frozen=True)
class Turn:
    """A thread that stops past its place: how far, and the shim that brings it home."""

    tube: Tube
    behind: str
    angle_deg: float
    shim_mm: float
    has_switch: bool


@dataclass(frozen=True)
class Lack:
    """What is missing before the fit can be told: a code, and what it is missing of."""

    code: str
    of: str = ""
    section: int = 0  # whose measure it is


@dataclass(frozen=True)
class Layout:
    """Everything in its place, what was found, what is missing."""

    tubes: tuple[Tube, ...] = ()
    things: tuple[Thing, ...] = ()
    cuts: tuple[Cut, ...] = ()
    blade: Blade | None = None
    gaps: tuple[Gap, ...] = ()
    turns: tuple[Turn, ...] = ()
    slack: Stack | None = None
    whole: Stack | None = None
    findings: tuple[Finding, ...] = ()
    lacks: tuple[Lack, ...] = ()
    unplaced: tuple[Item, ...] = field(default=())

    @property
    def length(self) -> float:
        """How long the hilt is, as drawn."""
        return self.tubes[-1].x1 if self.tubes else 0.0

    @property
    def shown_cuts(self) -> tuple[Cut, ...]:
        """Those with a letter: of each bore the tightest."""
        return tuple(cut for cut in self.cuts if cut.letter)
