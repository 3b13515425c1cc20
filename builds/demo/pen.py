"""A pen for technical drawings: lines, hatching, dimensions, on a sheet of 1600 × 1200 units."""

from collections.abc import Sequence
from functools import lru_cache
from io import BytesIO
from math import cos, hypot, pi, sin, sqrt

from PIL import Image, ImageDraw, ImageFont

from shop.env import BASE_DIR

Point = tuple[float, float]
Box = tuple[float, float, float, float]

WIDTH, HEIGHT = 1600, 1200
GROUND, PLATE, INK, QUIET, LINE = "#E6E9EB", "#F5F7F8", "#12233A", "#4A5B6B", "#C2CAD0"
BLUE, BRASS, SCRIBE = "#1B4C99", "#8A5A0A", "#85929C"
_FINER = 2  # drawn at twice the size, then made smaller: smooth edges
_FONTS = BASE_DIR / "static" / "vendor" / "atkinson-hyperlegible"


@lru_cache(maxsize=32)
def _font(size: int, weight: int, mono: bool) -> ImageFont.FreeTypeFont:
    family = "mono" if mono else "next"
    font = ImageFont.truetype(
        str(_FONTS / f"atkinson-hyperlegible-{family}-latin-wght-normal.woff2"), size
    )
    font.set_variation_by_axes([weight])
    return font


def shade(colour: str, factor: float) -> tuple[int, int, int]:
    """A colour made darker (below 1) or lighter (above 1)."""
    parts = [int(colour[n : n + 2], 16) for n in (1, 3, 5)]
    if factor <= 1:
        red, green, blue = (round(part * factor) for part in parts)
    else:
        red, green, blue = (round(part + (255 - part) * (factor - 1)) for part in parts)
    return red, green, blue


class Pen:
    """Draws in units of the sheet, whatever the size of the picture."""

    def __init__(self, size: tuple[int, int]) -> None:
        self.size = size
        self.scale = _FINER * size[0] / WIDTH
        self.sheet = Image.new("RGB", (size[0] * _FINER, size[1] * _FINER), GROUND)
        self.draw = ImageDraw.Draw(self.sheet)

    def jpeg(self) -> bytes:
        """The finished picture."""
        out = BytesIO()
        self.sheet.reduce(_FINER).save(out, "JPEG", quality=86)
        return out.getvalue()

    def _at(self, points: Sequence[Point]) -> list[Point]:
        return [(x * self.scale, y * self.scale) for x, y in points]

    def _wide(self, width: float) -> int:
        return max(1, round(width * self.scale))

    def line(self, points: Sequence[Point], colour: object = INK, width: float = 2) -> None:
        """A line through points."""
        self.draw.line(self._at(points), colour, self._wide(width), joint="curve")  # type: ignore[arg-type]

    def area(
        self, points: Sequence[Point], fill: object, edge: object = None, width: float = 2
    ) -> None:
        """A filled shape."""
        self.draw.polygon(self._at(points), fill=fill)  # type: ignore[arg-type]
        if edge:
            self.line([*points, points[0], points[1]], edge, width)

    def rect(self, box: Box, fill: object = None, edge: object = None, width: float = 2) -> None:
        """A rectangle."""
        x0, y0, x1, y1 = box
        if fill:
            self.draw.rectangle(self._at([(x0, y0), (x1, y1)]), fill=fill)  # type: ignore[arg-type]
        if edge:
            self.line([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0), (x1, y0)], edge, width)

    def circle(
        self, at: Point, radius: float, fill: object = None, edge: object = None, width: float = 2
    ) -> None:
        """A circle."""
        x, y = at
        box = self._at([(x - radius, y - radius), (x + radius, y + radius)])
        wide = self._wide(width) if edge else 0
        self.draw.ellipse(box, fill=fill, outline=edge, width=wide)  # type: ignore[arg-type]

    def text(
        self,
        at: Point,
        words: str,
        size: float = 26,
        *,
        colour: object = INK,
        weight: int = 450,
        mono: bool = False,
        anchor: str = "ls",
    ) -> None:
        """Words; ``anchor`` as Pillow has it."""
        font = _font(max(6, round(size * self.scale)), weight, mono)
        self.draw.text(self._at([at])[0], words, colour, font, anchor=anchor)  # type: ignore[arg-type]

    def dashes(self, start: Point, end: Point, pattern: tuple[float, ...] = (34, 8, 6, 8)) -> None:
        """A centre line: long, short, long."""
        (x0, y0), (x1, y1) = start, end
        length, gone, n = hypot(x1 - x0, y1 - y0), 0.0, 0
        while gone < length:
            to = min(length, gone + pattern[n % len(pattern)])
            if n % 2 == 0:
                ends = [(x0 + (x1 - x0) * t / length, y0 + (y1 - y0) * t / length)
                        for t in (gone, to)]  # fmt: skip
                self.line(ends, BLUE, 1.5)
            gone, n = to, n + 1

    def arrow(self, tip: Point, angle: float, colour: object = INK) -> None:
        """The head of a dimension line; the angle says where it points, in turns."""
        x, y = tip
        back = [angle + 0.5 + spread for spread in (-0.03, 0.03)]
        wings = [(x + 22 * cos(2 * pi * a), y + 22 * sin(2 * pi * a)) for a in back]
        self.draw.polygon(self._at([tip, *wings]), fill=colour)  # type: ignore[arg-type]

    def across(self, x0: float, x1: float, y: float, words: str, feet: Box | None = None) -> None:
        """A dimension line from left to right, with its feet."""
        for x in (x0, x1):
            self.line([(x, (feet[1] if feet else y - 14)), (x, y + 12)], INK, 1.5)
        self.line([(x0, y), (x1, y)], INK, 1.5)
        if x1 - x0 > 60:
            self.arrow((x0, y), 0.5)
            self.arrow((x1, y), 0.0)
        self.text(((x0 + x1) / 2, y - 9), words, 23, mono=True, anchor="ms")

    def leader(self, tip: Point, to: Point, words: str) -> None:
        """A leader line to words."""
        side = 1 if to[0] >= tip[0] else -1
        end = (to[0] + 26 * side, to[1])
        self.line([tip, to, end], INK, 1.5)
        self.circle(tip, 4.5, INK)
        spot = (end[0] + 10 * side, end[1] + 8)
        self.text(spot, words, 25, anchor="ls" if side > 0 else "rs")

    def hatched_ring(self, at: Point, outer: float, step: float = 13) -> None:
        """Hatching across a circle: metal that is cut."""
        x, y = at
        offset = -outer + step / 2
        while offset < outer:
            half = sqrt(outer * outer - offset * offset)
            ends = [(x + (offset + s * half) * 0.7071, y + (s * half - offset) * 0.7071)
                    for s in (-1, 1)]  # fmt: skip
            self.line(ends, QUIET, 1.5)
            offset += step
