"""What stands in a drawing beside its numbers: short names of parts, sizes, titles."""

from django.utils.translation import gettext as _

from builds.fitting.drawing.reading import shown
from builds.fitting.layout import Item
from shop.stores.kinds import PartKind


def kind_of(item: Item) -> str:
    """The kind of a part, as a short name."""
    return str(PartKind(item.kind).label)


def size_of(item: Item) -> str:
    """Its sizes: diameter or width and height, then the length."""
    if item.diameter_mm:
        parts = [f"⌀{shown(item.diameter_mm)}", item.length_mm]
    else:
        parts = [item.width_mm, item.height_mm, item.length_mm]
    written = [each if isinstance(each, str) else shown(each) for each in parts if each]
    return " × ".join(written)


def across_of(item: Item) -> str:
    """Its sizes across the bore alone."""
    if item.diameter_mm:
        return f"⌀{shown(item.diameter_mm)}"
    return f"{shown(item.width_mm or 0)} × {shown(item.height_mm or 0)}"


def room(clearance: str, fits: bool) -> str:
    """A clearance beside its leader."""
    return _("%(mm)s clear") % {"mm": clearance} if fits else _("%(mm)s over") % {"mm": clearance}


def basis_words(basis: str) -> str:
    """How a size is known, in a word."""
    known = {
        "told": _("told"),
        "believed": _("believed"),
        "estimated": _("not known"),
        "typical": _("typical"),
    }
    return known.get(basis, "")
