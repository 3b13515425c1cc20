"""The lithium battery mark and the texts of a package's outside, to print to size."""

from enum import StrEnum
from typing import Any

from django.utils.translation import get_language
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries.classing import said
from builds.engineering.lithium import LIMITS, Classed, Mark
from shop.web.paper import pdf


class Side(StrEnum):
    """The size of the mark: full, or the smaller one for a package that has no room for it."""

    FULL = "full"
    SMALL = "small"


def side_for(parcel: Parcel) -> Side:
    """The full size, unless the largest face of the package is known to be too small for it."""
    sides = [side for side in (parcel.length_mm, parcel.width_mm, parcel.height_mm) if side]
    full = LIMITS["mark-side-mm"].value
    too_small = len(sides) == 3 and sorted(sides)[1] < full  # the shorter side of that face
    return Side.SMALL if too_small else Side.FULL


def marks_pdf(classed: Classed, side: Side, sheet: str) -> bytes:
    """A sheet with the mark, where it is required, and each text in letters that are read."""
    return pdf("mark", marks_data(classed, side), sheet)


def marks_data(classed: Classed, side: Side) -> dict[str, Any]:
    """All that stands on the sheet."""
    full = LIMITS["mark-side-mm"].value
    return {
        "lang": (get_language() or "en").split("-")[0],
        "title": _("Marks for the outside"),
        "mark": classed.mark is Mark.REQUIRED,
        "width": full,
        "height": full if side is Side.FULL else LIMITS["mark-small-side-mm"].value,
        "hatching": LIMITS["mark-hatching-mm"].value,
        "un": classed.un.split(", "),
        "texts": list(classed.texts),
        "paper": [said(row) for row in classed.cautions if row.code == "waybill"],
        "how": _("Print at 100 %%, in colour. The line below is %d mm long.") % full,
        "line": full,
        "foot": _(
            "Stick it on one face, not around an edge, not under tape that hides it. The hatching "
            "is red."
        ),
    }
