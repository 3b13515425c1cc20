"""What is known of a hilt as a drawing says it: bores, lengths, slack, the whole."""

from django.utils.translation import gettext as _

from builds.fitting.drawing.dimensions import Dimension
from builds.fitting.drawing.pen import Mark, figure, words
from builds.fitting.drawing.reading import room_shown, shown
from builds.fitting.drawing.words import basis_words
from builds.fitting.layout import Layout, Tube


def bore_alone(tube: Tube) -> str:
    """A section's bore, without how it is known."""
    return _("bore %(mm)s") % {"mm": shown(tube.bore.mm)}


def bore_words(tube: Tube) -> str:
    """A section's bore as its heading says it."""
    said = bore_alone(tube)
    return said if tube.bore.is_sure else f"{said} {basis_words(tube.bore.basis)}"


def bore_head(
    tube: Tube, x: float, y: float, anchor: str = "middle", *, alone: str = ""
) -> list[Mark]:
    """The bore under a section's name; dotted underneath where nobody measured it."""
    look = "f-num f-quiet" if tube.bore.is_sure else "f-num f-quiet f-unsure"
    if tube.given.bore is None:
        return [words(x, y, _("bore not known"), "f-note", anchor)]
    return [
        figure(
            x, y, alone or bore_words(tube), look, f"bore:{tube.given.key}", tube.bore.mm, anchor
        )
    ]


def notes(tube: Tube) -> list[str]:
    """What is not measured of a section, in words under its bore."""
    bore = "" if tube.bore.is_sure or not tube.given.bore else basis_words(tube.bore.basis)
    return [each for each in (bore, wall_note(tube)) if each]


def wall_note(tube: Tube) -> str:
    """That the wall is estimated, or the outside told; nothing where the bore says it already."""
    if tube.outer.is_sure:
        return ""
    if tube.given.outer is None:
        return _("wall estimated")
    if tube.outer.basis == tube.bore.basis:
        return ""
    return _("outside %(basis)s") % {"basis": basis_words(tube.outer.basis)}


def whole_words(layout: Layout) -> str:
    """What a drawing of the hilt shows, for those who do not see it."""
    names = ", ".join(tube.name for tube in layout.tubes)
    said = _("From the blade's end: %(names)s. Every number stands in the table below.")
    return said % {"names": names}


Along = tuple[float, float, str, str, float, str]


def along(layout: Layout) -> list[Along]:
    """What is dimensioned along the hilt, in mm: blade, parts, slack; from the blade's end."""
    found: list[Along] = []
    if layout.blade:
        blade = layout.blade
        text = _("%(mm)s engaged") % {"mm": shown(blade.depth.mm)}
        look = "f-num" if blade.depth.is_sure else "f-num f-unsure"
        found.append((blade.socket_x0, blade.end, text, "engaged", blade.depth.mm, look))
    standing = [
        thing for thing in layout.things if thing.role in {"base", "rider"} and thing.item.length_mm
    ]
    for thing in sorted(standing, key=lambda each: (each.role, each.x0)):
        look = "f-num f-unsure" if thing.item.is_typical else "f-num"
        long = thing.x1 - thing.x0
        found.append((thing.x0, thing.x1, shown(long), f"part:{thing.item.key}", long, look))
    return sorted(found + _slack(layout), key=lambda each: (_is_rider(layout, each), each[0]))


def _slack(layout: Layout) -> list[Along]:
    if layout.slack is None or layout.slack.nominal < 0:
        return []
    return [
        (
            gap.x0,
            gap.x1,
            _("%(mm)s slack") % {"mm": room_shown(gap.mm)},
            f"gap:{place}",
            gap.mm,
            "f-num f-quiet",
        )
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
    return [Dimension(start, end, text, "whole", layout.whole.nominal)]
