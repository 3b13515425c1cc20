"""What a drawing is made of: strokes and words, in units that are pixels at its natural size."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from django.utils.safestring import SafeString, mark_safe

Point = tuple[float, float]
HEAD = 11.0  # an arrowhead's length
BARB = 1.85  # half of its width: about 19 degrees, filled
_LINES = {"f-ext", "f-dim", "f-head", "f-axis", "f-metal", "f-lead", "f-plane"}


@dataclass(frozen=True)
class Stroke:
    """A path; its look stands in the style sheet under its class."""

    d: str
    look: str
    fill: str = ""


@dataclass(frozen=True)
class Words:
    """A text. ``of`` and ``mm`` say what number it shows, the same as in the table."""

    x: str
    y: str
    text: str
    look: str
    anchor: str = "middle"
    of: str = ""
    mm: str = ""
    turn: str = ""


Mark = Stroke | Words


@dataclass(frozen=True)
class Sheet:
    """A finished drawing: its size in units and, at the scale that it is printed in, in mm."""

    name: str
    width: str
    height: str
    marks: tuple[Mark, ...]
    title: str
    words: str
    paper_width: str
    paper_height: str
    scale: str

    @property
    def body(self) -> SafeString:
        """All marks as SVG; hundreds of them, for which a loop in a template costs tenfold."""
        return mark_safe("".join(map(_svg, self.marks)))  # noqa: S308  # texts are escaped


def _svg(mark: Mark) -> str:
    if isinstance(mark, Stroke):
        fill = f' fill="{mark.fill}"' if mark.fill else ""
        return f'<path class="{mark.look}" d="{mark.d}"{fill}/>'
    number = f' data-of="{mark.of}" data-mm="{mark.mm}"' if mark.of else ""
    turn = f' transform="{mark.turn}"' if mark.turn else ""
    place = f'x="{mark.x}" y="{mark.y}" text-anchor="{mark.anchor}"'
    return f'<text class="{mark.look}" {place}{turn}{number}>{escape(mark.text)}</text>'


def n(value: float) -> str:
    """A coordinate, short, with a point whatever the language."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"


def path(points: Iterable[Point], *, closed: bool = False) -> str:
    """Straight lines from point to point."""
    return "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points) + ("Z" if closed else "")


def line(points: Sequence[Point], look: str) -> Stroke:
    """An open line."""
    return Stroke(path(points), look)


def area(points: Sequence[Point], look: str, fill: str = "") -> Stroke:
    """A closed outline."""
    return Stroke(path(points, closed=True), look, fill)


def ring_path(x: float, y: float, radius: float) -> str:
    """A circle as a path."""
    r = n(radius)
    return (
        f"M{n(x - radius)} {n(y)}a{r} {r} 0 1 0 {n(2 * radius)} 0a{r} {r} 0 1 0 {n(-2 * radius)} 0Z"
    )


def ring(x: float, y: float, radius: float, look: str, fill: str = "") -> Stroke:
    """A circle."""
    return Stroke(ring_path(x, y, radius), look, fill)


def arrow(tip: Point, towards: Point) -> Stroke:
    """A filled arrowhead at ``tip``, pointing away from ``towards``."""
    (x, y), (bx, by) = tip, towards
    size = math.hypot(x - bx, y - by) or 1.0
    ux, uy = (x - bx) / size, (y - by) / size
    foot = (x - ux * HEAD, y - uy * HEAD)
    left = (foot[0] - uy * BARB, foot[1] + ux * BARB)
    right = (foot[0] + uy * BARB, foot[1] - ux * BARB)
    return area([tip, left, right], "f-head")


def words(x: float, y: float, text: str, look: str, anchor: str = "middle") -> Words:
    """A text on its base line."""
    return Words(n(x), n(y), text, look, anchor)


def figure(
    x: float, y: float, text: str, look: str, of: str, mm: float, anchor: str = "middle"
) -> Words:
    """A text that shows a number of the table."""
    return Words(n(x), n(y), text, look, anchor, of, f"{mm:.4f}")


def turned(mark: Words) -> Words:
    """The same text, to be read from the right."""
    turn = f"rotate(-90 {mark.x} {mark.y})"
    return Words(mark.x, mark.y, mark.text, mark.look, mark.anchor, mark.of, mark.mm, turn)


def wide(text: str, size: float = 15.0, mono: bool = False) -> float:
    """About how wide a text comes out."""
    each = 0.64 if mono else 0.53
    return len(text) * size * each


def over_strokes(marks: Iterable[Mark]) -> tuple[Mark, ...]:
    """Words last, so that no line runs over them; strokes of one look that follow as one."""
    done: list[Mark] = []
    for mark in sorted(marks, key=lambda mark: isinstance(mark, Words)):
        last = done[-1] if done else None
        if isinstance(mark, Stroke) and isinstance(last, Stroke) and _alike(mark, last):
            done[-1] = Stroke(last.d + mark.d, mark.look)
        else:
            done.append(mark)
    return tuple(done)


def _alike(one: Stroke, other: Stroke) -> bool:
    """Lines alone: areas in one path would cut holes into each other."""
    return one.look == other.look and one.look in _LINES
