"""Draws boxes, shut, open and packed, and what lies in them."""

from math import sin

from builds.demo.metal import hilt
from builds.demo.pen import INK, PLATE, QUIET, SCRIBE, Pen, shade
from builds.demo.shapes import Shape

CARD = ("#C9A97C", "#BD9A6B", "#D0B48B", "#B39468")
_WATER = "#9C8058"


def shut(pen: Pen, kind: int, state: str) -> None:
    """A box from the corner, taped, with its label; wet or dented where it came so."""
    card = CARD[kind % len(CARD)]
    wide, high, deep = 760 + 30 * (kind % 3), 330 - 24 * (kind % 2), 250
    dx, dy = deep * 0.9, -deep * 0.5
    x, y = (1600 - wide - dx) / 2, 800.0
    front = [(x, y - high), (x + wide, y - high), (x + wide, y), (x, y)]
    top = [front[0], front[1], (x + wide + dx, y - high + dy), (x + dx, y - high + dy)]
    side = [front[1], top[2], (x + wide + dx, y + dy), front[2]]
    pen.area(front, shade(card, 0.96), INK, 3)
    pen.area(top, shade(card, 1.22), INK, 3)
    pen.area(side, shade(card, 0.76), INK, 3)
    middle = [(x + dx / 2, y - high + dy / 2), (x + wide + dx / 2, y - high + dy / 2)]
    tape = [
        (middle[0][0] - 24, middle[0][1] + 13),
        (middle[1][0] - 24, middle[1][1] + 13),
        (middle[1][0] + 24, middle[1][1] - 13),
        (middle[0][0] + 24, middle[0][1] - 13),
    ]
    pen.area(tape, shade(card, 1.5), shade(card, 0.7), 1.5)
    pen.line(middle, shade(card, 0.6), 2)
    drop = [tape[1], (tape[1][0], tape[1][1] + 90), (tape[2][0], tape[2][1] + 90), tape[2]]
    pen.area(drop, shade(card, 1.15), shade(card, 0.6), 1.5)
    _label(pen, x + 70, y - high + 60, state)
    if state == "wet":
        _stain(pen, x, y, wide, high)
    if state == "dented":
        _dent(pen, x + wide, y - high)
    pen.across(x, x + wide, y + 70, f"{wide // 2} mm", (0, y + 14, 0, 0))


def _label(pen: Pen, x: float, y: float, state: str) -> None:
    pen.rect((x, y, x + 300, y + 180), PLATE, INK, 2)
    faint = "#A9B4BD" if state == "wet" else QUIET
    for n, length in enumerate((150, 190, 120)):
        pen.rect((x + 20, y + 22 + n * 26, x + 20 + length, y + 34 + n * 26), faint)
    left = x + 20
    for n in range(34):
        wide = 2 + (n * 7 + n * n) % 5
        if state != "wet" or n % 3:
            pen.rect((left, y + 116, left + wide, y + 164), INK if state != "wet" else SCRIBE)
        left += wide + 3 + (n * 5) % 4


def _stain(pen: Pen, x: float, y: float, wide: float, high: float) -> None:
    edge = [(x + wide * n / 160, y - high * (0.24 + 0.07 * sin(n * 0.11) + 0.03 * sin(n * 0.31)))
            for n in range(161)]  # fmt: skip
    pen.area([*edge, (x + wide, y - 3), (x, y - 3)], _WATER)
    pen.line(edge, shade(_WATER, 0.7), 2.5)
    pen.line([(x, y - high), (x, y), (x + wide, y), (x + wide, y - high)], INK, 3)


def _dent(pen: Pen, x: float, y: float) -> None:
    pen.area([(x - 120, y), (x - 36, y + 66), (x, y + 92), (x, y)], "#8A6F47", INK, 2)
    pen.line([(x - 120, y), (x - 60, y + 22), (x - 36, y + 66), (x - 14, y + 52), (x, y + 92)], INK)


def opened(pen: Pen, shape: Shape | None, kind: int, *, packed: bool) -> None:
    """A box from above, its flaps out: as it came, or packed to leave."""
    card = CARD[kind % len(CARD)]
    x0, y0, x1, y1 = 250.0, 330.0, 1350.0, 800.0
    flap = 104
    pen.area([(x0, y0), (x1, y0), (x1 - 26, y0 - flap), (x0 + 26, y0 - flap)], shade(card, 1.2),
             INK, 2.5)  # fmt: skip
    pen.area([(x0, y1), (x1, y1), (x1 - 26, y1 + flap), (x0 + 26, y1 + flap)], shade(card, 1.08),
             INK, 2.5)  # fmt: skip
    pen.area([(x0, y0), (x0, y1), (x0 - flap, y1 - 26), (x0 - flap, y0 + 26)], shade(card, 1.14),
             INK, 2.5)  # fmt: skip
    pen.area([(x1, y0), (x1, y1), (x1 + flap, y1 - 26), (x1 + flap, y0 + 26)], card, INK, 2.5)
    pen.rect((x0, y0, x1, y1), shade(card, 0.62), INK, 3)
    pen.rect((x0 + 26, y0 + 26, x1 - 10, y1 - 10), "#4E5862" if packed else shade(card, 0.86))
    if packed:
        _foam(pen, shape, x0, y0, x1, y1)
    else:
        _paper(pen, shape, x0, y0, x1, y1, kind)


def _foam(pen: Pen, shape: Shape | None, x0: float, y0: float, x1: float, y1: float) -> None:
    middle = (y0 + y1) / 2 - 50
    pen.rect((x0 + 70, middle - 100, x1 - 60, middle + 100), "#39424B", INK, 2)
    if shape:
        scale = (x1 - x0 - 210) / shape.length
        scale = min(scale, 3.1)
        left = (x0 + x1) / 2 - shape.length * scale / 2 + 5
        hilt(pen, shape, left, middle, scale, back=False)
    for left, wide in ((x0 + 70, 300), (x0 + 420, 180), (x0 + 650, 390)):
        pen.rect((left, middle + 140, left + wide, middle + 250), "#39424B", INK, 2)
    pen.rect((x0 + 92, middle + 160, x0 + 340, middle + 232), PLATE, INK, 2)  # the slip
    for n in range(4):
        down = middle + 176 + n * 14
        pen.line([(x0 + 110, down), (x0 + 310 - 34 * (n % 2), down)], SCRIBE, 2)
    pen.circle((x0 + 510, middle + 195), 36, "#A9B4BD", INK, 2)  # the plug
    pen.circle((x0 + 510, middle + 195), 20, "#85929C", INK, 2)
    pen.line([(x0 + 690, middle + 216), (x0 + 960, middle + 216), (x0 + 960, middle + 172)],
             "#85929C", 11)  # fmt: skip


def _paper(
    pen: Pen, shape: Shape | None, x0: float, y0: float, x1: float, y1: float, kind: int
) -> None:
    tones = ("#E4D3B2", "#DCC9A4", "#EADBBE", "#D3BE97")
    for n in range(46):  # crumpled paper, the same every time
        x = x0 + 40 + (n * 197 + kind * 61) % (x1 - x0 - 190)
        y = y0 + 40 + (n * 131 + kind * 37) % (y1 - y0 - 130)
        a, b = 60 + (n * 29) % 70, 34 + (n * 17) % 52
        pen.area(
            [
                (x, y + b * 0.4),
                (x + a * 0.5, y),
                (x + a, y + b * 0.5),
                (x + a * 0.6, y + b),
                (x + a * 0.1, y + b * 0.8),
            ],
            tones[n % 4],
            shade(tones[n % 4], 0.78),
            1.2,
        )
    middle = (y0 + y1) / 2
    if shape:
        scale = min(2.9, (x1 - x0 - 200) / shape.length)
        left = (x0 + x1) / 2 - shape.length * scale / 2
        high = 46 * scale / 2 + 26
        pen.rect((left - 46, middle - high, left + shape.length * scale + 46, middle + high),
                 "#DDE5EA", QUIET, 2)  # fmt: skip
        hilt(pen, shape, left, middle, scale, back=False)
        _bubbles(pen, left - 46, middle, left + shape.length * scale + 46, high)


def _bubbles(pen: Pen, x0: float, y: float, x1: float, high: float) -> None:
    row, down = 0, y - high + 20
    while down < y + high - 8:
        x = x0 + (20 if row % 2 else 38)
        while x < x1 - 14:
            pen.circle((x, down), 12, None, "#B9C7D1", 1.6)
            x += 36
        row, down = row + 1, down + 31
