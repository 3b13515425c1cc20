"""A hilt with parts in it for tests: as plain values, and in the database."""

from dataclasses import dataclass
from datetime import datetime
from uuid import uuid4

from builds.fitting.actions.parts import place, plan_part
from builds.fitting.layout import Item, Layout, Opening, Size, Stretch, lay_out
from builds.fitting.models import BuildPart
from builds.hilts.actions import Reading, measure
from builds.hilts.models import Section
from builds.hilts.states import Basis, MeasuredThing
from builds.models import Build
from shop.models import Part, User
from shop.stores.actions.parts import add_part
from shop.stores.actions.stock import receive
from tests.hilts.shapes import make_sections, mm

EMITTER = Stretch(
    1, "emitter", Size(52, tolerance=0.1), Size(26.2), Size(33), holds_blade=True,
    socket_bore=Size(22.4), socket_depth=Size(34), joint="thread", pitch=Size(1.27), clock=Size(28),
)  # fmt: skip
NECK = Stretch(
    2, "neck", Size(46, tolerance=0.1), Size(22.6), Size(27.6),
    openings=(Opening("switch", Size(12), Size(20)),),
)  # fmt: skip
GRIP = Stretch(3, "grip", Size(112, tolerance=0.2), Size(26.01), None)
POMMEL = Stretch(4, "pommel", Size(44, tolerance=0.2), Size(30), Size(36))
HILT = (EMITTER, NECK, GRIP, POMMEL)

BLADE = Item(1, "blade", "blade", diameter_mm=22.2, length_mm=800)
CONNECTOR = Item(2, "connector", "connector", 1, 1, diameter_mm=21, length_mm=8)
SWITCH = Item(3, "switch", "switch", 2, 1, width_mm=12, height_mm=6, length_mm=12)
CELL = Item(4, "cell", "cell", 3, 1, diameter_mm=18.5, length_mm=65.5)
BOARD = Item(5, "board", "board", 3, 2, lies_on=4, width_mm=20, height_mm=3, length_mm=40)
SPEAKER = Item(6, "speaker", "speaker", 4, 1, diameter_mm=28, length_mm=10)
ITEMS = (BLADE, CONNECTOR, SWITCH, CELL, BOARD, SPEAKER)


def laid() -> Layout:
    """The hilt with its parts: the board is a hair too much for the grip."""
    return lay_out(HILT, ITEMS)


def codes(layout: Layout) -> list[str]:
    """What a layout finds, by codes."""
    return [found.code for found in layout.findings]


@dataclass(frozen=True)
class Fitted:
    """A build whose hilt is measured, with cell, board and speaker on its list."""

    build: Build
    sections: list[Section]
    cell: BuildPart
    board: BuildPart
    speaker: BuildPart


_SPECS: dict[str, dict[str, object]] = {
    "cell": {
        "diameter_mm": 18.5, "length_mm": 65.5, "protected": "no", "chemistry": "ion",
        "nominal_mv": 3600.0, "full_mv": 4200.0,
    },
    "board": {"width_mm": 20.0, "height_mm": 3.0, "length_mm": 40.0},
    "speaker": {"diameter_mm": 24.0, "depth_mm": 8.0, "ohm": 8.0},
}  # fmt: skip
_STATED = {
    "cell": {"capacity_mah": 3000.0, "max_current_ma": 15_000.0},
    "board": {"output_ma": 10_000.0},
    "speaker": {"power_mw": 2000.0},
}


def part_of(
    kind: str, by: User, now: datetime, on_hand: int = 0, name: str = "", **spec: float
) -> Part:
    """A part of the stores with the sizes that a fit asks for."""
    made = add_part(
        kind, {"name": name or f"{kind} of the tests"}, spec={**_SPECS[kind], **spec},
        stated=_STATED[kind], source="data sheet", token=uuid4(), by=by, now=now,
    )  # fmt: skip
    if on_hand:
        receive(made, on_hand, token=uuid4(), by=by, now=now)
    return made


def socket(section: Section, by: User, now: datetime, depth: float = 30) -> None:
    """The blade's socket in its section."""
    readings = {MeasuredThing.SOCKET_BORE: mm(25.6), MeasuredThing.SOCKET_DEPTH: mm(depth)}
    known: dict[str, Reading] = {str(name): reading for name, reading in readings.items()}
    measure(section, known, basis=Basis.MEASURED, token=uuid4(), by=by, now=now)


def fit_out(build: Build, by: User, now: datetime, grip_bore: float = 28.5) -> Fitted:
    """Measure a build's hilt, choose parts and place them."""
    assert build.hilt
    shape = [("emitter", 60, 38, 28.5), ("grip", 140, 36, grip_bore), ("pommel", 45, 38, 26)]
    sections = make_sections(build.hilt, by, now, shape)
    socket(sections[0], by, now)
    cell = _placed(build, "cell", sections[1], None, by, now)
    board = _placed(build, "board", sections[1], cell, by, now)
    return Fitted(
        build, sections, cell, board, _placed(build, "speaker", sections[2], None, by, now)
    )


def _placed(
    build: Build, kind: str, section: Section, on: BuildPart | None, by: User, now: datetime
) -> BuildPart:
    part = Part.objects.filter(name=f"{kind} of the tests").first() or part_of(kind, by, now, 9)
    row = plan_part(build, part, 1, section=section, token=uuid4(), by=by, now=now)
    return place(row, section, row.position, on, by=by, now=now)
