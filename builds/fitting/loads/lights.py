"""The lights of a build: pixels in the blade, single LEDs, accents, and their resistors."""

from collections.abc import Iterable

from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.engineering import led, pixels
from builds.engineering.power import Cell, Load
from builds.fitting.loads.values import Chosen, Drawn, Given, Lack, Resisted, Strip, Wants
from shop.stores.kinds import PartKind
from shop.web.figures import pointed

_LISTS = _("published lists of such pixels")


def strip(wants: Wants) -> tuple[Strip | None, list[Lack]]:
    """The pixels of the blade, None where it has none, and what is missing of them."""
    blade, reel = wants.first(PartKind.BLADE), wants.first(PartKind.STRIP)
    if blade is not None and blade.word("lit_by") == "hilt":
        blade = None
    holder = blade or reel
    if holder is None:
        return None, []
    counted = _pixels(blade, reel)
    if counted is None:
        return None, [Lack("pixels-not-counted", holder.name, True, holder.stores)]
    channel = _said("channel_ma", blade, reel) or _guess("channel_ma", pixels.WIRING_MA)
    typical = _said("channel_typical_ma", blade, reel) or _guess(
        "channel_typical_ma", min(pixels.RUNTIME_MA, channel.value)
    )
    dark = _said("quiescent_ma", blade, reel) or _guess("quiescent_ma", pixels.IDLE_MA[1])
    lacks = [Lack("pixels-by-length", holder.name, False, holder.stores)]
    return (
        Strip(holder.name, counted, channel, typical, dark),
        lacks if counted.is_guess and blade is None else [],
    )


def _pixels(blade: Chosen | None, reel: Chosen | None) -> Given | None:
    counted = blade.given("pixels") if blade else None
    if counted is not None and counted.value > 0:
        return counted
    per_metre = reel.given("pixels_per_m") if reel else None
    if reel is None or per_metre is None:
        return None
    whole = pixels.count(reel.quantity / 1000, per_metre.value)
    source = _("its length times its pixels a metre; count the real one")
    return Given(_("pixels"), whole, "", source, is_guess=True)


def _said(name: str, *holders: Chosen | None) -> Given | None:
    found = (holder.given(name) for holder in holders if holder)
    return next((given for given in found if given is not None), None)


_LABELS = {
    "channel_ma": _("current a colour, at most"),
    "channel_typical_ma": _("current a colour, typical"),
    "quiescent_ma": _("current a dark pixel takes"),
}


def _guess(name: str, value: float) -> Given:
    return Given(_LABELS[name], value, "mA", _LISTS, is_guess=True)


def resisted(wants: Wants, cell: Cell | None, series: str) -> list[Resisted]:
    """Every LED and plain accent with the resistor to fit."""
    if cell is None:
        return []
    found = (_resisted(part, cell, series) for part in wants.of(PartKind.LED, PartKind.ACCENT))
    return [each for each in found if each is not None]


def _resisted(part: Chosen, cell: Cell, series: str) -> Resisted | None:
    forward, current = part.given("forward_mv"), part.given("current_ma")
    if forward is None or current is None or _has_pixels(part):
        return None
    base = (part.name, part.quantity, cell.nominal_v, cell.full_v, forward, current)
    try:
        chosen = led.series_resistor(
            cell.nominal_v, forward.value / 1000, current.value / 1000, series, full_v=cell.full_v
        )
    except ValueError:
        return Resisted(*base, why_not=_why_not(forward.value, cell))
    return Resisted(*base, resistor=chosen)


def _why_not(forward_mv: float, cell: Cell) -> str:
    if forward_mv / 1000 < cell.nominal_v:
        return gettext("A figure of it, or of the cell, cannot be right.")
    volts = {"wants": pointed(f"{forward_mv / 1000:g}"), "has": pointed(f"{cell.nominal_v:g}")}
    return (
        gettext("The cell cannot light it: it wants %(wants)s V, and the cell has %(has)s V.")
        % volts
    )


def _has_pixels(part: Chosen) -> bool:
    counted = part.given("pixels")
    return counted is not None and counted.value > 0


def steady(wants: Wants, resistors: Iterable[Resisted]) -> tuple[list[Drawn], list[Lack]]:
    """What LEDs and accents take: as much in every slot, whatever its colour."""
    known = {each.name: each for each in resistors}
    drawn, lacks = [], []
    for part in wants.of(PartKind.LED, PartKind.ACCENT):
        current = part.given("current_ma")
        if current is None:
            lacks.append(Lack("light-without-current", part.name, False, part.stores))
            continue
        drawn.append(_light(part, current, known.get(part.name)))
    return drawn, lacks


def _light(part: Chosen, current: Given, resistor: Resisted | None) -> Drawn:
    feeds = "blade" if part.kind == PartKind.LED else "accents"
    stated = part.quantity * current.value / 1000
    worst = part.quantity * resistor.worst_a if resistor else stated
    inputs = (current, Given(_("how many"), part.quantity, ""))
    return Drawn(Load(part.name, worst, min(stated, worst)), feeds, "light", inputs)
