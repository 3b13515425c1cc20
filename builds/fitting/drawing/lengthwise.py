"""The hilt lengthwise, lying: for a desk, a tablet and for paper."""

from django.utils.translation import gettext as _

from builds.engineering.fit import shown_clearance_mm
from builds.fitting.drawing import metal
from builds.fitting.drawing.dimensions import OVER, ROW, Dimension, flat, in_rows
from builds.fitting.drawing.parts import BALLOON, balloon, inside, label, outline
from builds.fitting.drawing.pen import (
    MINUS,
    Mark,
    Point,
    Sheet,
    arrow,
    figure,
    line,
    n,
    ring,
    shown,
    wide,
    words,
)
from builds.fitting.drawing.paper import on_paper
from builds.fitting.drawing.words import room
from builds.fitting.layout import Cut, Layout, Thing, Tube

WIDTH = 1040.0
LEFT, RIGHT = 86.0, 34.0
STUB = 58.0  # of the blade in front of the hilt
MOST = 7.0  # units a mm at most: a short hilt is not blown up
HEAD_ROW = 43.0
WORD = "f-word"


class Lying:
    """Sets a layout out on the sheet from top to bottom."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.k = min(MOST, (WIDTH - LEFT - RIGHT) / layout.length)
        self.width = layout.length * self.k + LEFT + RIGHT
        half = max(tube.outer.mm for tube in layout.tubes) / 2 * self.k
        self.heads, head_rows = self._head_places()
        self.led = [thing for thing in layout.things if self._label(thing) is None]
        balloons = 42.0 if self.led else 20.0
        self.row = 10 + head_rows * HEAD_ROW + self._third() + 24
        self.middle = self.row + balloons + half
        self.foot = self.middle + half
        self.marks: list[Mark] = []

    def to(self, along: float, across: float) -> Point:
        """Millimetres along and above the centre line → units."""
        return LEFT + along * self.k, self.middle - across * self.k

    def drawn(self) -> Sheet:
        """The whole sheet."""
        layout = self.layout
        self.marks += metal.walls(layout, self.to)
        self.marks.append(metal.axis(layout, self.to))
        self.marks += metal.blade(layout, self.to, STUB / self.k)
        for thing in sorted(layout.things, key=lambda each: each.role != "chassis"):
            self.marks += outline(thing, self.to)
        self._write_in()
        self._head()
        self._cut_marks()
        height = self._dimensions()
        paper_w, paper_h, scale = on_paper(self.width, height, self.k)
        return Sheet(
            "lying", n(self.width), n(height), tuple(self.marks), _("The hilt lengthwise"),
            "", paper_w, paper_h, scale,
        )  # fmt: skip

    def _label(self, thing: Thing) -> str | None:
        return label(thing, (thing.x1 - thing.x0) * self.k, (thing.high - thing.low) * self.k)

    def _third(self) -> float:
        return 16.0 if any(not tube.outer.is_sure for tube in self.layout.tubes) else 0.0

    def _head_places(self) -> tuple[list[tuple[Tube, float, int]], int]:
        """Each section's heading with its middle and its row: those that touch go one up."""
        found: list[tuple[Tube, float, int]] = []
        ends = [-1e9, -1e9]
        for tube in self.layout.tubes:
            middle = LEFT + (tube.x0 + tube.x1) / 2 * self.k
            half = max(wide(tube.name, 16) + 8, wide(bore_words(tube), 15, mono=True)) / 2
            row = next((row for row in (0, 1) if ends[row] + 10 <= middle - half), 0)
            ends[row] = middle + half
            found.append((tube, middle, row))
        rows = max(row for _t, _m, row in found) + 1
        return [(tube, middle, rows - 1 - row) for tube, middle, row in found], rows

    def _head(self) -> None:
        for tube, middle, row in self.heads:
            y = 26 + row * HEAD_ROW
            self.marks.append(words(middle, y, tube.name, "f-name"))
            self.marks += bore_head(tube, middle, y + 19)
            if not tube.outer.is_sure:
                self.marks.append(words(middle, y + 35, _("wall estimated"), "f-note"))

    def _write_in(self) -> None:
        last = -1e9
        for thing in self.layout.things:
            text = self._label(thing)
            x0, y0 = self.to(thing.x0, thing.high)
            x1, y1 = self.to(thing.x1, thing.low)
            if text is not None:
                self.marks += inside(thing, text, x0, x1, (y0 + y1) / 2)
                continue
            dot = ((x0 + x1) / 2, (y0 + y1) / 2 if thing.role != "chassis" else y0)
            last = self._lead(thing, dot, last)

    def _lead(self, thing: Thing, dot: Point, last: float) -> float:
        """A balloon over the hilt with a leader down to the part; gives where the next may begin."""
        over = self._over(thing)
        x = max(dot[0] + (16 if over else 0), last + BALLOON + 8)
        y = self.row
        self.marks.append(line([(x, y + BALLOON), dot], "f-lead" if thing.fits else "f-lead f-bad"))
        self.marks.append(ring(*dot, 2.3, "f-dot" if thing.fits else "f-dot f-bad"))
        self.marks += balloon(x, y, thing)
        if over is None:
            return x + BALLOON
        text = room(shown(abs(shown_clearance_mm(over.clearance_mm))), fits=False)
        self.marks.append(
            figure(x + BALLOON + 7, y + 5, text, "f-num f-bad-words",
                   f"clearance:{over.tube.given.key}", over.clearance_mm, "start")
        )  # fmt: skip
        return x + BALLOON + 7 + wide(text, 15, mono=True)

    def _over(self, thing: Thing) -> Cut | None:
        bad = [cut for cut in self.layout.cuts if not cut.fits and cut.letter]
        return next((cut for cut in bad if thing.item in cut.combo.items[-1:]), None)

    def _cut_marks(self) -> None:
        for cut in self.layout.shown_cuts:
            x, _y = self.to(cut.x, 0)
            half = cut.tube.outer.mm / 2 * self.k
            for side, tip in ((-1, self.middle - half), (1, self.middle + half)):
                end = tip + side * 21
                self.marks.append(line([(x, tip + side * 6), (x, end)], "f-plane"))
                self.marks.append(line([(x, end), (x + 20, end)], "f-dim"))
                self.marks.append(arrow((x + 22, end), (x, end)))
                self.marks.append(words(x - 9, end + 5, cut.letter, "f-letter", "end"))
            self.marks.append(line([self.to(cut.x, half / self.k + 2), self.to(cut.x, -half / self.k - 2)], "f-axis"))

    def _dimensions(self) -> float:
        top, y = self.foot, self.foot + 62
        for row in in_rows(self._inside()):
            for each in row:
                self.marks += flat(each, y, top)
            y += ROW
        y += 4
        for each in [self._dim(t.x0, t.x1, shown(t.length.mm), f"length:{t.given.key}", t.length.mm, t.length.is_sure) for t in self.layout.tubes]:
            self.marks += flat(each, y, top)
        y += ROW + 2
        for each in whole(self.layout, LEFT, self.k):
            self.marks += flat(each, y, top)
        return y + OVER + 10

    def _dim(self, x0: float, x1: float, text: str, of: str, mm: float, sure: bool) -> Dimension:
        look = "f-num" if sure else "f-num f-unsure"
        return Dimension(LEFT + x0 * self.k, LEFT + x1 * self.k, text, of, mm, look)

    def _inside(self) -> list[Dimension]:
        return [
            Dimension(LEFT + x0 * self.k, LEFT + x1 * self.k, text, of, mm, look)
            for x0, x1, text, of, mm, look in along(self.layout)
        ]


def bore_words(tube: Tube) -> str:
    """A section's bore as its heading says it."""
    said = _("bore %(mm)s") % {"mm": shown(tube.bore.mm)}
    return said if tube.bore.is_sure else f"{said} {basis_words(tube.bore.basis)}"


def basis_words(basis: str) -> str:
    """How a size is known, in a word."""
    known = {
        "told": _("told"),
        "believed": _("believed"),
        "estimated": _("not known"),
        "typical": _("typical"),
    }
    return known.get(basis, "")


def bore_head(tube: Tube, x: float, y: float) -> list[Mark]:
    """The bore under a section's name; dotted underneath where nobody measured it."""
    text = bore_words(tube)
    look = "f-num f-quiet" if tube.bore.is_sure else "f-num f-quiet f-unsure"
    if tube.given.bore is None:
        return [words(x, y, _("bore not known"), "f-note")]
    return [figure(x, y, text, look, f"bore:{tube.given.key}", tube.bore.mm)]


Along = tuple[float, float, str, str, float, str]


def along(layout: Layout) -> list[Along]:
    """What is dimensioned along the hilt, in mm: blade, parts, slack; from the blade's end."""
    found: list[Along] = []
    if layout.blade:
        blade = layout.blade
        text = _("%(mm)s engaged") % {"mm": shown(blade.depth.mm)}
        look = "f-num" if blade.depth.is_sure else "f-num f-unsure"
        found.append((blade.socket_x0, blade.end, text, "engaged", blade.depth.mm, look))
    standing = [thing for thing in layout.things if thing.role in {"base", "rider"} and thing.item.length_mm]
    for thing in sorted(standing, key=lambda each: (each.role, each.x0)):
        look = "f-num f-unsure" if thing.item.is_typical else "f-num"
        long = thing.x1 - thing.x0
        found.append((thing.x0, thing.x1, shown(long), f"part:{thing.item.key}", long, look))
    return sorted(found + _slack(layout), key=lambda each: (_is_rider(layout, each), each[0]))


def _slack(layout: Layout) -> list[Along]:
    if layout.slack is None or layout.slack.nominal < 0:
        return []
    return [
        (gap.x0, gap.x1, _("%(mm)s slack") % {"mm": shown(gap.mm)}, f"gap:{place}", gap.mm, "f-num f-quiet")
        for place, gap in enumerate(layout.gaps, start=1)
    ]


def _is_rider(layout: Layout, each: Along) -> bool:
    riders = {f"part:{thing.item.key}" for thing in layout.things if thing.role == "rider"}
    return each[3] in riders


def whole(layout: Layout, start: float, k: float) -> list[Dimension]:
    """The whole length with its worst case."""
    if layout.whole is None:
        return []
    spread = layout.whole.worst_high - layout.whole.nominal
    text = shown(layout.whole.nominal) + (f" ± {shown(spread)}" if spread else "")
    end = start + layout.length * k
    return [Dimension(start, end, text.replace("-", MINUS), "whole", layout.whole.nominal)]
