"""A section across the hilt: the ring of metal, the parts truly in it, bore and least bore."""

from django.utils.translation import gettext as _

from builds.fitting.drawing.dimensions import OVER, Centred, flat
from builds.fitting.drawing.paper import on_paper
from builds.fitting.drawing.pen import (
    Mark,
    Point,
    Sheet,
    Stroke,
    area,
    figure,
    line,
    n,
    over_strokes,
    ring,
    ring_path,
    wide,
    words,
)
from builds.fitting.drawing.reading import least_shown, over_shown, shown
from builds.fitting.drawing.words import across_of, kind_of, room
from builds.fitting.layout import Circle, Cut, Flat, Layout

WIDTH = 300.0
RING = 216.0  # the outside diameter on the sheet
TOP = 40.0


class Across:
    """One cut."""

    def __init__(self, layout: Layout, cut: Cut, name: str, key: str) -> None:
        self.layout, self.cut, self.name, self.key = layout, cut, name, key
        widest = max(cut.tube.outer.mm, cut.combo.least_mm + 2)
        self.k = RING / widest
        self.x, self.y = WIDTH / 2, TOP + RING / 2
        self.marks: list[Mark] = []

    def drawn(self) -> Sheet:
        """The whole sheet."""
        self._metal()
        self._axes()
        self._chassis()
        for circle in self.cut.combo.circles:
            self._circle(circle)
        for flat_part in self.cut.combo.flats:
            self._flat(flat_part)
        self._least()
        for circle in self.cut.combo.circles:
            self._circle_words(circle)
        for flat_part in self.cut.combo.flats:
            self._flat_words(flat_part)
        self._clearance()
        height = self._dimensions()
        paper_w, paper_h, scale = on_paper(WIDTH, height, self.k, 78, 86)
        title = _("Section %(letter)s, %(name)s") % {
            "letter": self.cut.letter,
            "name": self.cut.tube.name,
        }
        return Sheet(
            self.name,
            n(WIDTH),
            n(height),
            over_strokes(self.marks),
            title,
            self._words(),
            paper_w,
            paper_h,
            scale,
        )

    def _words(self) -> str:
        text = room(over_shown(self.cut.clearance_mm), self.cut.fits)
        names = " + ".join(item.name for item in self.cut.combo.items)
        return f"{names}: {text}"

    def _metal(self) -> None:
        tube = self.cut.tube
        outer, bore = tube.outer.mm / 2 * self.k, tube.bore.mm / 2 * self.k
        place = self.layout.tubes.index(tube) % 2
        hatch = ("url(#hatch-a)", "url(#hatch-b)")[place]
        both = ring_path(self.x, self.y, outer) + ring_path(self.x, self.y, bore)
        self.marks.append(Stroke(both, "f-cut f-ring", hatch))
        look = "f-metal" if tube.outer.is_sure else "f-metal f-guess"
        self.marks.append(ring(self.x, self.y, outer, look))
        look = "f-metal" if tube.bore.is_sure else "f-metal f-guess"
        self.marks.append(ring(self.x, self.y, bore, look))

    def _axes(self) -> None:
        reach = RING / 2 + 12
        self.marks.append(line([(self.x - reach, self.y), (self.x + reach, self.y)], "f-axis"))
        self.marks.append(line([(self.x, self.y - reach), (self.x, self.y + reach)], "f-axis"))

    def _chassis(self) -> None:
        chassis = self.cut.chassis
        if chassis and chassis.diameter_mm and chassis not in self.cut.combo.items:
            self.marks.append(ring(self.x, self.y, chassis.diameter_mm / 2 * self.k, "f-chassis"))

    def _is_bad(self, item: object) -> bool:
        blamed = self.cut.combo.items[1:] or self.cut.combo.items
        return not self.cut.fits and item in blamed

    def _circle(self, circle: Circle) -> None:
        x, y = self.x + circle.x * self.k, self.y - circle.y * self.k
        radius = circle.diameter / 2 * self.k
        self.marks.append(ring(x, y, radius, "f-part-fill"))
        if self._is_bad(circle.item):
            self.marks.append(ring(x, y, radius, "f-over", "url(#hatch-stop)"))
        else:
            self.marks.append(ring(x, y, radius, "f-part"))
            reach = radius + 7
            for dx, dy in ((reach, 0.0), (0.0, reach)):
                self.marks.append(line([(x - dx, y - dy), (x + dx, y + dy)], "f-axis"))

    def _corners(self, part: Flat) -> list[tuple[float, float]]:
        half, high = part.width / 2 * self.k, part.height / 2 * self.k
        y = self.y - part.y * self.k
        return [
            (self.x - half, y - high), (self.x + half, y - high),
            (self.x + half, y + high), (self.x - half, y + high),
        ]  # fmt: skip

    def _flat(self, part: Flat) -> None:
        self.marks.append(area(self._corners(part), "f-part-fill"))
        bad = self._is_bad(part.item)
        look, hatch = ("f-over", "url(#hatch-stop)") if bad else ("f-part", "")
        self.marks.append(area(self._corners(part), look, hatch))

    def _circle_words(self, circle: Circle) -> None:
        text = f"{kind_of(circle.item)} {across_of(circle.item)}"
        if wide(text, 15) + 16 > circle.diameter * self.k:
            radius = circle.diameter / 2 * self.k
            at = (
                self.x + circle.x * self.k - radius * 0.5,
                self.y - circle.y * self.k - radius * 0.5,
            )
            self._led_words(text, at, self._is_bad(circle.item))
            return
        x, y = self.x + circle.x * self.k, self.y - circle.y * self.k
        self._plate(x, text, y + 18)

    def _plate(self, x: float, text: str, base: float) -> None:
        """Words on a patch of the part's own colour, so that no line runs through them."""
        half = wide(text, 15) / 2 + 4
        patch = [
            (x - half, base - 13),
            (x + half, base - 13),
            (x + half, base + 5),
            (x - half, base + 5),
        ]
        self.marks.append(area(patch, "f-part-fill"))
        self.marks.append(words(x, base, text, "f-word f-small"))

    def _flat_words(self, part: Flat) -> None:
        """Over the ring, at the end of a leader: in a board there is seldom room."""
        text = f"{kind_of(part.item)} {across_of(part.item)}"
        dot = (self.x - part.width * self.k * 0.28, self.y - part.y * self.k)
        self._led_words(text, dot, self._is_bad(part.item))

    def _led_words(self, text: str, dot: Point, is_bad: bool) -> None:
        bad = " f-bad" if is_bad else ""
        self.marks.append(ring(*dot, 2.3, "f-dot" + bad))
        self.marks.append(line([dot, (dot[0] - 22, 24), (dot[0] - 28, 24)], "f-lead" + bad))
        left = dot[0] - 32
        if left - wide(text, 15) > 4:
            self.marks.append(words(left, 29, text, "f-word f-small", "end"))
        else:
            self.marks.append(words(4, 14, text, "f-word f-small", "start"))

    def _least(self) -> None:
        """The least circle, where it is not the bore itself."""
        if self.cut.combo.how == "round" and self.cut.fits:
            return
        look = "f-least" if self.cut.fits else "f-least f-bad"
        self.marks.append(ring(self.x, self.y, self.cut.combo.least_mm / 2 * self.k, look))

    def _clearance(self) -> None:
        cut = self.cut
        radius = cut.tube.bore.mm / 2 * self.k
        at = (self.x + radius * 0.78, self.y - radius * 0.626)
        if cut.combo.flats:
            at = self._corners(cut.combo.flats[-1])[1]
        text = room(over_shown(cut.clearance_mm), cut.fits)
        look = "f-num f-good-words" if cut.fits else "f-num f-bad-words"
        bad = "" if cut.fits else " f-bad"
        self.marks.append(ring(*at, 2.3, "f-dot" + bad))
        elbow = (at[0] + 18, 24.0)
        self.marks.append(line([at, elbow, (elbow[0] + 5, 24)], "f-lead" + bad))
        of = f"clearance:{self.key}"
        x = min(elbow[0] + 9, WIDTH - 2 - wide(text, 15, mono=True))
        self.marks.append(figure(x, 18, text, look, of, cut.clearance_mm, "start"))

    def _dimensions(self) -> float:
        cut, foot = self.cut, self.y + RING / 2
        bore, least = cut.tube.bore, cut.combo.least_mm
        key = self.key
        y = foot + 40
        needed = _("⌀%(mm)s needed") % {"mm": least_shown(least)}
        has = _("⌀%(mm)s bore") % {"mm": shown(bore.mm)}
        look_of_bore = "f-num" if bore.is_sure else "f-num f-unsure"
        for mm, text, of, look in (
            (least, needed, f"least:{key}", "f-num"),
            (bore.mm, has, f"bore:{cut.tube.given.key}", look_of_bore),
        ):
            half = mm / 2 * self.k
            each = Centred(self.x - half, self.x + half, text, of, mm, look)
            self.marks += flat(each, y, self.y if mm else foot)
            y += 30
        return y - 30 + OVER + 6
