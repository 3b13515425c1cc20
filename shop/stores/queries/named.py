"""One part by what somebody typed: its label or the beginning of its name."""

from django.utils.translation import gettext as _

from shop.stores.kinds import FOR_PACKING, Counted
from shop.stores.models import Part
from shop.stores.queries.choosing import scanned
from shop.stores.queries.shelf import found

OFFERED = 60  # names offered while typing: more is a list that nobody reads
_NAMED = 3
# What customers buy by itself, first.
_SOLD = ("blade", "cell", "other")


def sold_by_name() -> list[str]:
    """Names of parts in stores that may be sold as they are: blades, cells and the like first."""
    kept = found("", "", "").exclude(kind__in=FOR_PACKING).filter(counted=Counted.PIECE)
    first = list(kept.filter(kind__in=_SOLD)[:OFFERED])
    rest = list(kept.exclude(kind__in=_SOLD)[:OFFERED])
    return [part.name for part in (*first, *rest)][:OFFERED]


def to_sell(typed: str) -> Part:
    """The part that goods stand in stores as, by its label or the beginning of its name.

    :raises ValueError: none is called so, several are, or it is not sold by the piece.
    """
    part = scanned(typed) or _by_name(typed)
    if part.retired:
        raise ValueError(_("%s is offered no more.") % part)
    if part.kind in FOR_PACKING or part.counted != Counted.PIECE:
        raise ValueError(_("%s is not sold by the piece. Choose another part.") % part)
    return part


def _by_name(typed: str) -> Part:
    wanted = typed.replace("\x00", "").strip()
    rows = list(found(wanted, "", "all").exclude(kind__in=FOR_PACKING)[: _NAMED + 1])
    same = [part for part in rows if part.name_folded == wanted.casefold()]
    if len(same) == 1 or len(rows) == 1:
        return (same or rows)[0]
    if not rows:
        raise ValueError(_("No part in stores is called so. A label reads as P0042."))
    names = ", ".join(f"{part.name} ({part.label})" for part in rows[:_NAMED])
    raise ValueError(_("Which of these? Type its label: %s") % names)
