"""Across a bore: a cell with a board on it, cells side by side, a round part."""

import math
from dataclasses import dataclass

from builds.engineering.findings import Level
from builds.engineering.fit.rounding import Clearance, finding, settled
from builds.engineering.given import not_negative, positive

PART_CLEARANCE_MM = 0.2  # printed parts, on diameter; common practice, no source


@dataclass(frozen=True)
class Placed:
    """A cell and a board in the least bore that takes both, for a drawing to scale.

    ``*_y_mm`` are the heights of their middles above the centre line of the bore; sideways both
    stand in the middle, the board flat above the cell.
    """

    least_bore_mm: float
    cell_mm: float
    cell_y_mm: float
    board_width_mm: float
    board_height_mm: float
    board_y_mm: float


def place(
    cell_mm: float, board_width_mm: float, board_height_mm: float, gap_mm: float = 0.0
) -> Placed:
    """Where a round cell and a board flat above it lie in the smallest circle round both.

    With d the cell, w × h the board, g the gap and a = d + g + h: the circle touches the far
    side of the cell and the two outer corners of the board, D = a + w²/4a, as long as the inner
    corners lie within it, w² ≤ 4a(d + g); beyond that the board alone decides, D = √(w² + h²),
    and the cell lies within its circle. A gap counts only where it has a cell and a board on its
    sides; 0 stands for a cell or a board that is not there.

    Source: plane geometry; the middle of the circle stands on the axis of symmetry, where the
    farthest point of the cell is its far side and that of the board a pair of corners.

    :raises ValueError: where a size is negative or no number.
    """
    cell = not_negative(cell_mm, "The diameter of the cell in mm")
    width = not_negative(board_width_mm, "The width of the board in mm")
    height = not_negative(board_height_mm, "The height of the board in mm")
    gap = not_negative(gap_mm, "The gap between cell and board in mm")
    inner = cell + gap if cell and (width or height) else cell  # inner face of the board
    outer = inner + height
    rise = width * (width / (4 * outer)) if outer else width
    if rise <= inner:
        bore = outer + rise
        middle = bore / 2  # above the far side of the cell, which the circle touches
    else:
        bore = math.hypot(width, height)
        middle = inner + height / 2
    board = (inner + outer) / 2
    return Placed(bore, cell, cell / 2 - middle, width, height, board - middle)


def least_bore_mm(
    cell_mm: float, board_width_mm: float, board_height_mm: float, gap_mm: float = 0.0
) -> float:
    """The least bore that takes a round cell and a board lying flat on it.

    D = a + w²/4a with a = d + g + h, for wide boards √(w² + h²): see :func:`place`. A wire
    beside the cell is a board of no width: D = d + h.

    Source: plane geometry, the smallest enclosing circle.

    :raises ValueError: where a size is negative or no number.
    """
    return place(cell_mm, board_width_mm, board_height_mm, gap_mm).least_bore_mm


def clearance_mm(
    bore_mm: float,
    cell_mm: float,
    board_width_mm: float,
    board_height_mm: float,
    gap_mm: float = 0.0,
) -> float:
    """What a bore has over the least bore, on the diameter; negative where it does not fit.

    Source: bore − :func:`least_bore_mm`.

    :raises ValueError: where the bore is not above 0, or a size negative or no number.
    """
    bore = positive(bore_mm, "The bore in mm")
    return settled(bore - least_bore_mm(cell_mm, board_width_mm, board_height_mm, gap_mm))


def across(
    bore_mm: float,
    cell_mm: float,
    board_width_mm: float,
    board_height_mm: float,
    gap_mm: float = 0.0,
    about: str = "",
) -> Clearance:
    """Whether a cell and a board go into a bore side by side.

    Finds ``bore-too-small`` (stops). Source: :func:`clearance_mm`.

    :raises ValueError: as :func:`clearance_mm` does.
    """
    room = clearance_mm(bore_mm, cell_mm, board_width_mm, board_height_mm, gap_mm)
    if room >= 0:
        return Clearance(room)
    least = least_bore_mm(cell_mm, board_width_mm, board_height_mm, gap_mm)
    figures = {"bore_mm": bore_mm, "least_bore_mm": least, "clearance_mm": room}
    return Clearance(room, (finding(Level.STOPS, "bore-too-small", about, figures),))


def bundle_mm(diameter_mm: float, count: int) -> float:
    """The least bore for up to four equal round things lying against each other.

    D = d · (1 + 1/sin(π/n)) for n = 2, 3, 4. Source: plane geometry; from five on the closed
    form is another one and no hilt holds as many cells side by side.

    :raises ValueError: where the diameter is not above 0, or there are not 1 to 4 of them.
    """
    diameter = positive(diameter_mm, "The diameter in mm")
    if count not in (1, 2, 3, 4):
        raise ValueError(f"One to four round parts can be reckoned side by side, not {count}.")
    return diameter if count == 1 else diameter * (1 + 1 / math.sin(math.pi / count))


def round_part(
    bore_mm: float, diameter_mm: float, clearance_mm: float = PART_CLEARANCE_MM, about: str = ""
) -> Clearance:
    """Whether a speaker, a chassis or another round part goes into a bore with room to spare.

    Clearance = bore − diameter. Finds ``part-too-wide`` (stops) below 0 and ``part-tight`` (to
    know) below what was asked for; 0.2 to 0.5 mm on the diameter of a printed part is common
    practice, no source.

    :raises ValueError: where bore or diameter are not above 0, or the clearance is negative.
    """
    bore = positive(bore_mm, "The bore in mm")
    diameter = positive(diameter_mm, "The diameter of the part in mm")
    wanted = not_negative(clearance_mm, "The clearance in mm")
    room = settled(bore - diameter)
    figures = {"bore_mm": bore, "diameter_mm": diameter, "clearance_mm": room, "wanted_mm": wanted}
    if room < 0:
        return Clearance(room, (finding(Level.STOPS, "part-too-wide", about, figures),))
    if settled(room - wanted) < 0:
        return Clearance(room, (finding(Level.KNOW, "part-tight", about, figures),))
    return Clearance(room)
