"""Draws the demo's pictures: sober technical drawings, where a shop would have photographs."""

from zlib import crc32

from builds.demo import boxes
from builds.demo.chassis import chassis
from builds.demo.metal import end_view, hilt
from builds.demo.pen import HEIGHT, INK, LINE, PLATE, QUIET, WIDTH, Pen
from builds.demo.shapes import SHAPES, Shape

# As sharp as a tablet shows, in two thirds of the time that the sheet's own size would take.
FULL_SIZE = (WIDTH * 4 // 5, HEIGHT * 4 // 5)
_LABELS = {
    "box-shut": "box shut", "box-open": "box open", "laid-out": "all laid out",
    "side-a": "one side", "side-b": "other side", "bore-end": "bore from the end",
    "chassis": "chassis, wired", "packed": "packed box",
}  # fmt: skip


def picture(name: str, view: str, box: str = "sound", size: tuple[int, int] = FULL_SIZE) -> bytes:
    """One view of a hilt as a JPEG; the same name and view give the same bytes."""
    pen, shape, kind = Pen(size), SHAPES.get(name), crc32(name.encode()) % 12
    _paper(pen)
    if view == "box-shut":
        boxes.shut(pen, kind, box)
    elif view in {"box-open", "packed"}:
        boxes.opened(pen, shape, kind, packed=view == "packed")
    elif shape and view == "chassis":
        chassis(pen, shape, kind)
    elif shape and view == "bore-end":
        _bore(pen, shape)
    elif shape and view == "laid-out":
        _laid_out(pen, shape)
    elif shape:
        _side(pen, shape, back=view == "side-b")
    _title(pen, name, _LABELS[view])
    return pen.jpeg()


def _paper(pen: Pen) -> None:
    """A sheet with a frame, and the graduations of a rule along its edges."""
    pen.rect((36, 36, WIDTH - 36, HEIGHT - 36), PLATE, INK, 2.5)
    for n in range(1, 153):
        x, long = 36 + n * 10, 26 if n % 10 == 0 else 17 if n % 5 == 0 else 9
        pen.line([(x, 36), (x, 36 + long)], QUIET, 1)
    for n in range(1, 113):
        y, long = 36 + n * 10, 26 if n % 10 == 0 else 17 if n % 5 == 0 else 9
        pen.line([(36, y), (36 + long, y)], QUIET, 1)


def _title(pen: Pen, name: str, view: str) -> None:
    x0, y0, x1, y1 = 1010.0, 1016.0, WIDTH - 36.0, HEIGHT - 36.0
    pen.rect((x0, y0, x1, y1), PLATE, INK, 2.5)
    pen.line([(x0, y0 + 84), (x1, y0 + 84)], INK, 1.5)
    pen.text((x0 + 24, y0 + 56), name, 38, weight=680)
    pen.text((x0 + 24, y1 - 22), view, 27, colour=QUIET)
    pen.text((x1 - 24, y1 - 22), "Larkhill Works", 27, colour=QUIET, anchor="rs")


def _side(pen: Pen, shape: Shape, *, back: bool) -> None:
    scale = min(4.6, 1200 / shape.length)
    left, y = (WIDTH - shape.length * scale) / 2, 470.0
    places = hilt(pen, shape, left, y, scale, back=back)
    pen.dashes((left - 70, y), (left + shape.length * scale + 70, y))
    for part, (x0, x1) in zip(shape.sections, places, strict=True):
        radius = min(part.start, part.end) * scale / 2
        pen.across(x0, x1, 700, f"{part.length:g}", (0, y + radius + 10, 0, 0))
        pen.text(((x0 + x1) / 2, 270), part.name, 24, colour=QUIET, anchor="ms")
        pen.line([((x0 + x1) / 2, 282), ((x0 + x1) / 2, y - radius - 14)], LINE, 1.5)
    end = places[-1][1]
    pen.across(left, end, 770, f"{shape.length:g} mm", (0, 712, 0, 0))


def _laid_out(pen: Pen, shape: Shape) -> None:
    gap = 46.0
    room = 1300 - gap * (len(shape.sections) - 1)
    scale = min(3.9, room / shape.length)
    whole = shape.length * scale + gap * (len(shape.sections) - 1)
    left, y = (WIDTH - whole) / 2, 400.0
    pen.dashes((left - 60, y), (left + whole + 60, y))
    places = hilt(pen, shape, left, y, scale, back=False, gap=gap)
    for number, (x0, x1) in enumerate(places, start=1):
        at = ((x0 + x1) / 2, 620.0)
        pen.line([(at[0], 596), (at[0], y + 100)], QUIET, 1.2)
        pen.circle(at, 24, PLATE, INK, 2)
        pen.text((at[0], at[1] + 9), str(number), 26, mono=True, anchor="ms")
    rows = [f"{n}  {part.name}" for n, part in enumerate(shape.sections, start=1)]
    for n, words in enumerate(rows):
        pen.text((150 + (n // 3) * 290, 860 + (n % 3) * 44), words, 28)


def _bore(pen: Pen, shape: Shape) -> None:
    at, scale = (620.0, 540.0), 740 / 46
    outer, bore = end_view(pen, shape, at, scale)
    reach = 0.7071
    tip = (at[0] + bore * reach, at[1] - bore * reach)
    pen.leader(tip, (tip[0] + 330, tip[1] - 70), f"Ø {shape.bore:.1f} mm")
    tip = (at[0] + outer * reach, at[1] + outer * reach)
    pen.leader(tip, (tip[0] + 210, tip[1] + 20), f"Ø {shape.sections[0].start:g} mm")
