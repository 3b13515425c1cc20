"""The hilt lengthwise, lying: for a desk, a tablet and for paper."""

from django.utils.translation import gettext as _

from builds.fitting.drawing import metal
from builds.fitting.drawing.dimensions import OVER, ROW, Dimension, flat, in_rows
from builds.fitting.drawing.known import along, bore_head, bore_words, wall_note, whole, whole_words
from builds.fitting.drawing.paper import on_paper
from builds.fitting.drawing.parts import BALLOON, balloon, in_order, inside, label, outline, spot
from builds.fitting.drawing.pen import (
    Mark,
    Point,
    Sheet,
    arrow,
    figure,
    line,
    n,
    over_strokes,
    ring,
    wide,
    words,
)
from builds.fitting.drawing.reading import over_shown, shown
from builds.fitting.drawing.words import across_of, room
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
        self._planes()
        self.marks += metal.blade(layout, self.to, STUB / self.k)
        for thing in sorted(layout.things, key=lambda each: each.role != "chassis"):
            self.marks += outline(thing, self.to)
        self._write_in()
        self._head()
        height = self._dimensions()
        self._cut_marks()
        self._blade_words()
        paper_w, paper_h, scale = on_paper(self.width, height, self.k)
        return Sheet(
            "lying", n(self.width), n(height), over_strokes(self.marks), _("The hilt lengthwise"),
            whole_words(layout), paper_w, paper_h, scale,
        )  # fmt: skip

    def _label(self, thing: Thing) -> str | None:
        return label(thing, (thing.x1 - thing.x0) * self.k, (thing.high - thing.low) * self.k)

    def _third(self) -> float:
        return 16.0 if any(wall_note(tube) for tube in self.layout.tubes) else 0.0

    def _head_places(self) -> tuple[list[tuple[Tube, float, int]], int]:
        """Each section's heading with its middle and its row: those that touch go further up."""
        found: list[tuple[Tube, float, int]] = []
        ends: list[float] = []
        for tube in self.layout.tubes:
            middle = LEFT + (tube.x0 + tube.x1) / 2 * self.k
            half = max(wide(tube.name, 16) + 8, wide(bore_words(tube), 15, mono=True)) / 2
            free = (row for row, end in enumerate(ends) if end + 10 <= middle - half)
            row = next(free, len(ends))
            ends[row:] = [middle + half, *ends[row + 1 :]]
            found.append((tube, middle, row))
        rows = max(row for _t, _m, row in found) + 1
        return [(tube, middle, rows - 1 - row) for tube, middle, row in found], rows

    def _head(self) -> None:
        for tube, middle, row in self.heads:
            y = 26 + row * HEAD_ROW
            self.marks.append(words(middle, y, tube.name, "f-name"))
            self.marks += bore_head(tube, middle, y + 19)
            if wall_note(tube):
                self.marks.append(words(middle, y + 35, wall_note(tube), "f-note"))

    def _write_in(self) -> None:
        last = -1e9
        for thing in in_order(self.layout.things):
            text = self._label(thing)
            x0, y0 = self.to(thing.x0, thing.high)
            x1, y1 = self.to(thing.x1, thing.low)
            if text is not None:
                self.marks += inside(thing, text, x0, x1, (y0 + y1) / 2)
                continue
            last = self._lead(thing, self.to(*spot(thing)), last)

    def _lead(self, thing: Thing, dot: Point, last: float) -> float:
        """A balloon over the hilt, its leader down to the part; gives where the next may begin."""
        over = self._over(thing)
        x = max(dot[0] + (16 if over else 0), last + BALLOON + 8)
        y = self.row
        self.marks.append(line([(x, y + BALLOON), dot], "f-lead" if thing.fits else "f-lead f-bad"))
        self.marks.append(ring(*dot, 2.3, "f-dot" if thing.fits else "f-dot f-bad"))
        self.marks += balloon(x, y, thing)
        if over is None:
            return x + BALLOON
        text = room(over_shown(over.clearance_mm), fits=False)
        self.marks.append(
            figure(x + BALLOON + 7, y + 5, text, "f-num f-bad-words",
                   f"clearance:{over.tube.given.key}", over.clearance_mm, "start")
        )  # fmt: skip
        return x + BALLOON + 7 + wide(text, 15, mono=True)

    def _over(self, thing: Thing) -> Cut | None:
        bad = [cut for cut in self.layout.cuts if not cut.fits and cut.letter]
        return next((cut for cut in bad if thing.item in cut.combo.items[-1:]), None)

    def _cut_marks(self) -> None:
        last = -1e9
        for cut in self.layout.shown_cuts:
            x, _y = self.to(cut.x, 0)
            half = cut.tube.outer.mm / 2 * self.k
            # Where two planes stand close, the second letter goes to the far side of its arrow.
            letter = (x - 9, "end") if x - last > 44 else (x + 26, "start")
            last = x
            for side, tip in ((-1, self.middle - half), (1, self.middle + half)):
                end = tip + side * 21
                self.marks.append(line([(x, tip + side * 6), (x, end)], "f-plane"))
                self.marks.append(line([(x, end), (x + 20, end)], "f-dim"))
                self.marks.append(arrow((x + 22, end), (x, end)))
                self.marks.append(words(letter[0], end + 5, cut.letter, "f-letter", letter[1]))

    def _planes(self) -> None:
        """Where it is cut, thin, under the parts."""
        for cut in self.layout.shown_cuts:
            reach = cut.tube.outer.mm / 2 + 3
            self.marks.append(line([self.to(cut.x, reach), self.to(cut.x, -reach)], "f-axis"))

    def _blade_words(self) -> None:
        blade = self.layout.blade
        if blade is None:
            return
        x, y = self.to((blade.end - STUB / self.k) / 2 + 1, 0)
        text = _("blade %(size)s") % {"size": across_of(blade.item)}
        self.marks.append(words(x, y + 5, text, "f-word"))

    def _dimensions(self) -> float:
        top, y = self.foot, self.foot + 62
        for row in in_rows(self._inside()):
            for each in row:
                self.marks += flat(each, y, top)
            y += ROW
        y += 4
        for row in in_rows(self._sections()):
            for each in row:
                self.marks += flat(each, y, top)
            y += ROW
        y += 2
        for each in whole(self.layout, LEFT, self.k):
            self.marks += flat(each, y, top)
        return y + OVER + 10

    def _sections(self) -> list[Dimension]:
        found = []
        for tube in self.layout.tubes:
            long = tube.length
            x0, x1 = LEFT + tube.x0 * self.k, LEFT + tube.x1 * self.k
            look = "f-num" if long.is_sure else "f-num f-unsure"
            of = f"length:{tube.given.key}"
            found.append(Dimension(x0, x1, shown(long.mm), of, long.mm, look, self.width))
        return found

    def _inside(self) -> list[Dimension]:
        return [
            Dimension(LEFT + x0 * self.k, LEFT + x1 * self.k, text, of, mm, look, self.width)
            for x0, x1, text, of, mm, look in along(self.layout)
        ]
