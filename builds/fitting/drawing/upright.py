"""The hilt lengthwise, upright: the whole of it on a phone, the blade's end on top."""

from django.utils.translation import gettext as _

from builds.fitting.drawing import metal
from builds.fitting.drawing.dimensions import Dimension, in_columns, steep, steep_along
from builds.fitting.drawing.known import along, bore_alone, bore_head, notes, whole, whole_words
from builds.fitting.drawing.paper import on_paper
from builds.fitting.drawing.parts import BALLOON, balloon, in_order, outline, spot
from builds.fitting.drawing.pen import (
    Mark,
    Point,
    Sheet,
    Words,
    figure,
    line,
    n,
    over_strokes,
    ring,
    wide,
    words,
)
from builds.fitting.drawing.reading import over_shown
from builds.fitting.drawing.words import room
from builds.fitting.layout import Cut, Layout, Thing

WIDTH = 340.0
TOP, FOOT, STUB = 14.0, 26.0, 30.0
MIDDLE = 167.0
LONG = 640.0  # what the hilt is to be high at least
SIDE = 40.0  # half of the widest section, in units


class Upright:
    """Sets a layout out on the sheet from left to right."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        widest = max(tube.outer.mm for tube in layout.tubes)
        self.k = min(2 * SIDE / widest, LONG / layout.length * 1.35)
        self.height = TOP + STUB + layout.length * self.k + FOOT
        self.top = TOP + STUB
        self.width = WIDTH
        self.marks: list[Mark] = []

    def to(self, along_mm: float, across_mm: float) -> Point:
        """Millimetres along and above the centre line → units."""
        return MIDDLE + across_mm * self.k, self.top + along_mm * self.k

    def drawn(self) -> Sheet:
        """The whole sheet."""
        layout = self.layout
        self.marks += metal.walls(layout, self.to)
        self.marks.append(metal.axis(layout, self.to))
        self.marks += metal.blade(layout, self.to, STUB / self.k)
        for thing in sorted(layout.things, key=lambda each: each.role != "chassis"):
            self.marks += outline(thing, self.to)
        self._head()
        self._dimensions()
        self._planes()
        self._write_in()
        paper_w, paper_h, scale = on_paper(self.width, self.height, self.k)
        return Sheet(
            "upright", n(self.width), n(self.height), over_strokes(self.marks),
            _("The hilt lengthwise"), whole_words(layout), paper_w, paper_h, scale,
        )  # fmt: skip

    def _head(self) -> None:
        last = 0.0
        for tube in self.layout.tubes:
            beside = notes(tube)
            lines = 2 + len(beside)
            y = max(self.top + (tube.x0 + tube.x1) / 2 * self.k - lines * 9 + 12, last + 20)
            y = self._beside_letters(y, lines)
            self.marks.append(words(27, y, tube.name, "f-name", "start"))
            self.marks += bore_head(tube, 27, y + 18, "start", alone=bore_alone(tube))
            for place, note in enumerate(beside, start=2):
                self.marks.append(words(27, y + 17.5 * place, note, "f-note", "start"))
            last = y + 18 * (lines - 1)
        self.height = max(self.height, last + 12)

    def _beside_letters(self, y: float, lines: int) -> float:
        """Further down, where the letter of a cut would stand in the heading."""
        for cut in self.layout.shown_cuts:
            at = self.top + cut.x * self.k
            if y - 22 < at < y + 18 * (lines - 1) + 10:
                y = at + 24
        return y

    def _write_in(self) -> None:
        last = -1e9
        for thing in in_order(self.layout.things):
            x, y = self.to(*spot(thing))
            broad = (thing.high - thing.low) * self.k
            tall = (thing.x1 - thing.x0) * self.k
            if min(broad, tall) >= 2 * BALLOON + 2 and thing.role == "base" and thing.fits:
                self.marks += balloon(x, y, thing)
            else:
                last = self._lead(thing, (x, y), last)

    def _lead(self, thing: Thing, dot: Point, last: float) -> float:
        x, y = MIDDLE + SIDE + 17, max(dot[1] + 18, last + 2 * BALLOON + 3)
        bad = "" if thing.fits else " f-bad"
        self.marks.append(line([(x - BALLOON, y), dot], "f-lead" + bad))
        self.marks.append(ring(*dot, 2.3, "f-dot" + bad))
        self.marks += balloon(x, y, thing)
        cuts = [cut for cut in self.layout.shown_cuts if not cut.fits]
        over = next((cut for cut in cuts if thing.item in cut.combo.items[-1:]), None)
        if over:
            text = room(over_shown(over.clearance_mm), fits=False)
            of = f"clearance:{over.tube.given.key}"
            words_x, words_y = self._over_place(over)
            self.marks.append(
                figure(words_x, words_y, text, "f-num f-bad-words", of, over.clearance_mm, "start")
            )
        return y

    def _over_place(self, cut: Cut) -> Point:
        """Under the heading of the section: right of the hilt the dimensions stand."""
        of = f"bore:{cut.tube.given.key}"
        head = next(mark for mark in self.marks if isinstance(mark, Words) and mark.of == of)
        return float(head.x), float(head.y) + 18 * (1 + len(notes(cut.tube))) + 2

    def _planes(self) -> None:
        for cut in self.layout.shown_cuts:
            half = cut.tube.outer.mm / 2 * self.k
            y = self.top + cut.x * self.k
            for side in (-1, 1):
                x = MIDDLE + side * half
                self.marks.append(line([(x + side * 3, y), (x + side * 13, y)], "f-plane"))
            self.marks.append(words(MIDDLE - half - 16, y + 6, cut.letter, "f-letter", "end"))

    def _dimensions(self) -> None:
        inside = [
            Dimension(self.top + x0 * self.k, self.top + x1 * self.k, text, of, mm, look)
            for x0, x1, text, of, mm, look in along(self.layout)
        ]
        side = MIDDLE + SIDE
        x = side + 36
        for column in in_columns(inside):
            last = -1e9
            for each in sorted(column, key=lambda each: each.x0):
                last = max((each.x0 + each.x1) / 2, last + 17)
                self.marks += steep(each, x, side, last)
                last += 15 if " " in each.text else 0
            number = max(wide(each.text.partition(" ")[0], mono=True) for each in column)
            self.width = max(self.width, x + 8 + number + 2)
            x += max(50, 8 + number + 4)
        for each in whole(self.layout, self.top, self.k):
            self.marks += steep_along(each, 18, 26)
