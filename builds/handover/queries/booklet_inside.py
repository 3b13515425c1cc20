"""What a booklet says of the parts of a build: what is inside, its battery, what to leave alone."""

from collections.abc import Iterable, Sequence

from django.utils.text import capfirst
from django.utils.translation import gettext as _

from builds.fitting.models import BuildPart
from builds.handover.booklet_words.contents import Inside, Pair
from builds.hilts.queries.blades import blades_tried_in, told_of
from builds.progress.models import Build
from shop.stores.kinds import PartKind
from shop.stores.queries.known import Figures, figures, own_figures
from shop.stores.specs import IN_WORDS
from shop.stores.units import figure_shown
from shop.web.figures import pointed

_ONE_CELL_MV = 4400  # one lithium cell is full below this; common practice, no source
_OF_A_CELL = ("nominal_mv", "capacity_mah", "diameter_mm", "length_mm", "protected")
_OF_A_BLADE = ("diameter_mm", "length_mm", "pixels", "wall_mm")


def inside(parts: Iterable[BuildPart]) -> tuple[Inside, ...]:
    """What is in the hilt, with its place and, where one is kept, its number."""
    return tuple(
        Inside(capfirst(_several(part)), part.section.name if part.section else "", part.serial)
        for part in parts
        if part.fitted_at and part.kind != PartKind.BLADE
    )


def leave_alone(parts: Iterable[BuildPart]) -> tuple[Pair, ...]:
    """Part → what its owner does not do to it, each kind of part once."""
    rows = {
        part.name: part.part.care.strip()
        for part in parts
        if part.fitted_at and part.part and part.part.care.strip()
    }
    return tuple(rows.items())


def by_port(parts: Iterable[BuildPart]) -> bool:
    """Whether it is charged in the hilt."""
    return any(part.kind == PartKind.PORT and part.fitted_at for part in parts)


def battery(parts: Sequence[BuildPart], unit: str) -> tuple[Pair, ...]:
    """The battery that it runs on and how it is charged: label and figure.

    Of the parts list, fitted or not: a hilt may travel without its battery, and its owner has to
    know which one to put in.
    """
    cells = [part for part in parts if part.kind == PartKind.CELL]
    known = _known([*parts])
    found: list[Pair] = []
    for cell in cells:
        found.append((_("Battery"), _several(cell)))
        found += _figures(known[cell.pk], _OF_A_CELL, unit)
        full = known[cell.pk].number("full_mv")
        if full:
            found.append((_("Charger"), _charger(full)))
    for port in (part for part in parts if part.kind == PartKind.PORT and part.fitted_at):
        current = known[port.pk].by_name.get("charge_ma")
        if current:
            words = _("at most %s") % figure_shown(current.quantity, current.value)
            found.append((_("Charging by its port"), words))
    return tuple(found)


def _charger(full_mv: float) -> str:
    volts = pointed(f"{full_mv / 1000:.3g}") + "\u00a0V"
    if full_mv < _ONE_CELL_MV:
        return _("for one lithium-ion cell, ends at %s by itself") % volts
    return _("made for this battery, ends at %s by itself") % volts


def capacity_mah(parts: Sequence[BuildPart]) -> float | None:
    """What its one battery holds; None where that is not said, or only as a typical figure."""
    cells = [part for part in parts if part.kind == PartKind.CELL]
    if len(cells) != 1 or cells[0].quantity != 1:
        return None
    found = _known(cells)[cells[0].pk].by_name.get("capacity_mah")
    return float(found.value) if found and not found.is_typical else None


def blade(build: Build, parts: Sequence[BuildPart], unit: str) -> tuple[Pair, ...]:
    """The blade that belongs to it: label and figure."""
    listed = [part for part in parts if part.kind == PartKind.BLADE]
    known = _known(listed)
    found: list[Pair] = []
    for part in listed:
        found.append((_("Blade"), _several(part)))
        found += _figures(known[part.pk], _OF_A_BLADE, unit)
    own = blades_tried_in(build.hilt) if build.hilt else []
    theirs = build.blade
    if theirs and theirs.ended_at is None and theirs not in own:
        own = [theirs, *own]  # it goes home with the hilt, tried in it or not
    found += [(each.name, told_of(each, unit)) for each in own]
    return tuple(found)


def _figures(known: Figures, names: Iterable[str], unit: str) -> list[Pair]:
    rows = []
    for name in (name for name in names if name in known.by_name):
        figure = known.by_name[name]
        text = figure_shown(figure.quantity, figure.value, unit)
        is_guess = figure.is_typical and figure.quantity.unit not in IN_WORDS
        # Stores ask for a count; of the blade in hand nobody says here that it was counted.
        label = _("Pixels, both sides together") if name == "pixels" else figure.quantity.label
        rows.append((capfirst(str(label)), _("about %s") % text if is_guess else text))
    return rows


def _known(parts: Sequence[BuildPart]) -> dict[int, Figures]:
    """Build part → its figures, of the stores or as written down of the customer's own."""
    stored = figures(part.part for part in parts if part.part)
    return {
        part.pk: stored[part.part.pk] if part.part else own_figures(part.kind, part.spec)
        for part in parts
    }


def _several(part: BuildPart) -> str:
    is_counted = part.quantity > 1 and (part.part is None or part.part.counted == "piece")
    return f"{part.quantity} × {part.name}" if is_counted else part.name
