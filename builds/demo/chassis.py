"""Draws a wired chassis: speaker, board, cell between rods, and what is what."""

from math import cos, pi, sin

from builds.demo.pen import BLUE, INK, PLATE, QUIET, SCRIBE, Pen, shade
from builds.demo.shapes import Shape

GOLD = "#C69A4B"
_CELLS = ("#3E6E8E", "#4D7A55", "#7A4B66", "#5B5F8C")
_WIRES = ("#9B231A", "#12233A", BLUE, "#1F6140")


def chassis(pen: Pen, shape: Shape, kind: int) -> None:
    """The chassis from the side; longer hilts have a longer cell bay."""
    y, metal = 560.0, shape.sections[0].metal
    x0, x1 = 190.0, 1410.0
    board = (x0 + 360, x0 + 360 + 250)
    cell = (board[1] + 70, x1 - 90)
    for rod in (-118, 118):
        pen.rect((x0 + 150, y + rod - 8, x1, y + rod + 8), shade(metal, 1.1), INK, 2)
    _speaker(pen, x0, y)
    for x in (x0 + 150, board[0] - 40, board[1] + 24, x1 - 24):
        pen.rect((x, y - 132, x + 24, y + 132), shade(metal, 0.95), INK, 2.5)
    _cell(pen, cell, y, _CELLS[kind % len(_CELLS)])
    _board(pen, board, y)
    _wires(pen, x0, board, cell, y, kind)
    pen.leader((x0 + 70, y - 60), (x0 + 110, 300), "speaker")
    pen.leader((board[0] + 125, y - 60), (board[0] + 165, 300), "sound board")
    pen.leader((cell[0] + 190, y - 70), (cell[0] + 240, 300), "cell")
    pen.dashes((x0 - 50, y), (x1 + 60, y))
    pen.across(x0, x1, 800, f"{round(shape.length * 0.62)} mm", (0, 714, 0, 0))


def _speaker(pen: Pen, x: float, y: float) -> None:
    pen.rect((x, y - 122, x + 26, y + 122), "#2B343C", INK, 2)
    pen.area([(x + 26, y - 112), (x + 84, y - 58), (x + 84, y + 58), (x + 26, y + 112)], SCRIBE,
             INK, 2)  # fmt: skip
    pen.rect((x + 84, y - 66, x + 132, y + 66), "#5A6772", INK, 2)
    for n in range(4):
        pen.line(
            [(x + 36 + n * 14, y - 100 + n * 12), (x + 36 + n * 14, y + 100 - n * 12)], QUIET, 1
        )


def _cell(pen: Pen, between: tuple[float, float], y: float, wrap: str) -> None:
    x0, x1 = between
    for n in range(22):
        low, high = -1 + n / 11, -1 + (n + 1) / 11
        lit = 0.62 + 0.5 * max(0.0, cos((low + high) / 2 * 1.3 + 0.5))
        pen.rect((x0, y + low * 92, x1, y + high * 92), shade(wrap, lit))
    pen.rect((x0, y - 92, x1, y + 92), None, INK, 2.5)
    pen.rect((x0 - 12, y - 34, x0, y + 34), "#C3CBD1", INK, 2)
    for share, sign in ((0.12, "+"), (0.88, "−")):
        pen.text((x0 + (x1 - x0) * share, y + 16), sign, 52, colour=PLATE, weight=700, anchor="ms")
    pen.rect(((x0 + x1) / 2 - 90, y - 5, (x0 + x1) / 2 + 90, y + 5), shade(wrap, 1.35))


def _board(pen: Pen, between: tuple[float, float], y: float) -> None:
    x0, x1 = between
    pen.rect((x0, y - 88, x1, y + 88), "#234A3A", INK, 2.5)
    for x, top, wide, high in ((40, -52, 74, 74), (140, -60, 60, 42), (142, 6, 46, 46)):
        pen.rect((x0 + x, y + top, x0 + x + wide, y + top + high), "#1A232C", SCRIBE, 1.5)
    for n in range(9):
        for edge in (-78, 70):
            pen.rect((x0 + 14 + n * 26, y + edge, x0 + 28 + n * 26, y + edge + 9), "#C69A4B")
    for n in range(5):
        pen.rect((x0 + 212, y - 52 + n * 22, x0 + 234, y - 42 + n * 22), "#A9B4BD")
    pen.circle((x0 + 16, y - 56), 6, GOLD, INK, 1)
    pen.circle((x1 - 16, y + 50), 6, GOLD, INK, 1)


def _curve(
    start: tuple[float, float], end: tuple[float, float], sag: float
) -> list[tuple[float, float]]:
    (x0, y0), (x1, y1) = start, end
    return [
        (x0 + (x1 - x0) * n / 16,
         y0 + (y1 - y0) * n / 16 + sag * sin(pi * n / 16))
        for n in range(17)
    ]  # fmt: skip


def _wires(
    pen: Pen, x0: float, board: tuple[float, float], cell: tuple[float, float], y: float, kind: int
) -> None:
    runs = [
        ((x0 + 132, y - 30), (board[0] + 20, y - 74), -34.0),
        ((x0 + 132, y + 30), (board[0] + 20, y + 74), 30.0),
        ((board[1] - 24, y - 74), (cell[0] - 10, y - 14), -26.0),
        ((board[1] - 24, y + 74), (cell[0] + 60, y + 96), 26.0),
    ]
    for n, (start, end, sag) in enumerate(runs):
        colour = _WIRES[(n + kind) % len(_WIRES)]
        points = _curve(start, end, sag)
        pen.line(points, INK, 10)
        pen.line(points, colour, 7)
