"""What the demo tells of one job: how it was agreed, how it came, how far it has got."""

from dataclasses import dataclass

from builds.progress.states import Kind, Leaves

Condition = tuple[str, str, str]  # section, grade, words


@dataclass(frozen=True)
class Wait:
    """A hold: since how many working days, and in how many days we ask again."""

    reason: str
    turn: str
    words: str
    since: int
    chase: int
    before: str = ""
    part: str = ""  # on order: its line ends the hold as it comes


@dataclass(frozen=True)
class Said:
    """What was said elsewhere, so many working days ago."""

    ago: int
    how: str
    words: str


@dataclass(frozen=True)
class Back:
    """How a hilt came back: announced so many working days ago, and why the warranty covers it."""

    ago: int
    words: str
    because: str


@dataclass(frozen=True)
class Job:
    """One job. Days that have passed are working days ago; days to come are days from today."""

    who: str
    hilt: str
    wanted: str
    booked: int
    price: str = ""
    kind: str = Kind.FULL
    leaves_by: str = Leaves.POST
    agreed_how: str = "mail"
    due: int | None = None
    needed: int | None = None
    goods: tuple[tuple[str, int], ...] = ()  # on the same order
    back: Back | None = None  # on a hilt that left us before
    came: int | None = None
    same_box: bool = False  # as the job before it, under one order
    box: str = "sound"
    carrier: str = "Fenland Parcels"
    things: tuple[tuple[str, int], ...] = ()
    condition: tuple[Condition, ...] = ()
    cell: tuple[str, int | None, str] | None = ("good", 3700, "")
    new_cell: tuple[str, int | None, str] | None = None  # the one that goes along
    all_views: bool = True
    tray: int | None = None
    place: str = ""
    reached: tuple[tuple[str, int], ...] = ()  # stage, and when it was moved there
    reconfirmed: bool = True
    started_by: str = ""  # in the stage that it has reached; nobody: it waits
    fails_once: bool = False  # in its bench test, which it has passed since
    finished_views: bool = False  # of the stage that it has reached
    returned: bool = False  # belongings ticked back into the box
    told_at: tuple[str, ...] = ()  # stages at which the customer got a word by mail
    said: tuple[Said, ...] = ()
    wait: Wait | None = None
    packed: bool = False
    tracking: str = ""
    ended: tuple[str, int, str] | None = None  # ending, when, and why
