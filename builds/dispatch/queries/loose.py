"""Cells among what came in the customer's box: they go back loose, and nobody classed them."""

import re
from collections import defaultdict
from collections.abc import Sequence

from django.db.models import Exists, OuterRef
from django.utils.translation import gettext as _

from builds.dispatch.models import Packed
from builds.fitting.models import BuildPart
from builds.intake.models import Belonging
from shop.stores.kinds import PartKind

# How people write it down, and the usual sizes of round cells; common practice, no source.
_WORDS = re.compile(
    r"\b(cells?|batter(y|ies)|power ?banks?|li-?ion|lipos?|1[48]\d{3}|2[16]700|26650)\b",
    re.IGNORECASE,
)
# What names a cell without being one.
_BUT = re.compile(r"\b(holders?|chargers?|cases?|caps?|sleds?|boxe?s?|doors?)\b", re.IGNORECASE)


def loose_cells(parcel_ids: Sequence[int]) -> dict[int, list[str]]:
    """Parcel id → belongings that go back in it and are cells, in two queries.

    Those on the parts list as cells and not fitted, and those whose name says so.
    """
    found: dict[int, list[str]] = defaultdict(list)
    packed = Packed.objects.filter(parcel__in=parcel_ids, taken_out_at=None)
    lies_in = dict(packed.values_list("build", "parcel"))
    listed = BuildPart.objects.filter(
        belonging=OuterRef("pk"), kind=PartKind.CELL, fitted_at=None, ended_at=None
    )
    rows = Belonging.objects.filter(build__in=lies_in, kept_because="")
    rows = rows.annotate(is_listed=Exists(listed)).order_by("pk")
    for build_id, what, is_listed in rows.values_list("build", "what", "is_listed"):
        if is_listed or is_cell(what):
            found[lies_in[build_id]].append(what)
    return found


def is_cell(what: str) -> bool:
    """Whether a belonging is a cell by its name."""
    usual = _("loose cell").casefold()
    named = _WORDS.search(what) and not _BUT.search(what)
    return usual in what.casefold() or bool(named)
