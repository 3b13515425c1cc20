"""The box of a parcel: the smallest in stock that takes what lies in it, and why not a smaller."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries.contents import Contents
from builds.dispatch.queries.things import Sized, Typed, laid, things_in
from builds.dispatch.queries.weights import Weight, weight_of
from builds.engineering.boxes import Box, Lack, Thing, Why, in_order, why_not
from shop.house.models import House
from shop.stores.kinds import PartKind
from shop.stores.models import Part
from shop.web.figures import pointed

SHOWN = 12  # boxes on the page; a shop with more has them by the list


@dataclass(frozen=True)
class Choice:
    """A box in stock, and why it does not do; empty where it does."""

    part: Part
    inside: str
    free: int
    why_not: str

    @property
    def does(self) -> bool:
        """Whether it takes all whose size is known."""
        return not self.why_not


@dataclass(frozen=True)
class BoxSection:
    """What the page says of a parcel's box, size and weight."""

    things: Sequence[Sized]
    clearance_mm: float
    choices: Sequence[Choice]
    smallest: Choice | None
    chosen: Choice | None
    weight: Weight

    @property
    def unknown(self) -> list[Sized]:
        """Things whose size nobody knows: they are not reckoned in."""
        return [row for row in self.things if row.size is None]

    @property
    def not_reckoned(self) -> str:
        """Their names, but for those whose length is asked for."""
        return "; ".join(row.name for row in self.unknown if not row.build)

    @property
    def to_measure(self) -> list[Sized]:
        """Hilts and blades whose length is asked for."""
        return [row for row in self.things if row.build]

    @property
    def too_small(self) -> list[Choice]:
        """Boxes smaller than the one proposed, each with its reason."""
        found = []
        for each in self.choices:
            if each.does:
                break
            found.append(each)
        return found

    @property
    def others(self) -> list[Choice]:
        """Boxes to choose by hand."""
        return [each for each in self.choices if not self.chosen or each.part != self.chosen.part]

    @property
    def is_larger_than_needed(self) -> bool:
        """Whether a smaller box in stock would do."""
        if self.chosen is None or self.smallest is None:
            return False
        return self.chosen.does and self.chosen.part != self.smallest.part


def box_section(parcel: Parcel, found: Contents, house: House, typed: Typed) -> BoxSection:
    """The section, in a constant number of queries."""
    rows = things_in(found, typed)
    weight = weight_of(parcel, rows)
    parts = _boxes(parcel)
    things = laid(rows)
    order = in_order(_inside(part) for part in parts)
    by_key = {part.pk: part for part in parts}
    estimate = weight.contents_g
    choices = [
        _choice(by_key[int(box.key)], box, things, rows, house.box_clearance_mm, estimate)
        for box in order
    ]
    free = [each for each in choices if each.free or each.part.pk == parcel.box_id]
    return BoxSection(
        things=rows,
        clearance_mm=house.box_clearance_mm,
        choices=free[:SHOWN],
        smallest=next((each for each in free if each.does), None) if things else None,
        chosen=next((each for each in choices if each.part.pk == parcel.box_id), None),
        weight=weight,
    )


def _boxes(parcel: Parcel) -> list[Part]:
    """Boxes of the stores that are in use, and the one chosen."""
    rows = Part.objects.filter(kind=PartKind.BOX).select_related("level").order_by("pk")
    return [part for part in rows if part.pk == parcel.box_id or not part.retired]


def _inside(part: Part) -> Box:
    long, wide, high = (
        float(part.spec[f"inner_{side}_mm"]) for side in ("length", "width", "height")
    )
    return Box(long, wide, high, part.pk)


def _choice(
    part: Part, box: Box, things: Sequence[Thing], rows: Sequence[Sized], pad: float, grams: float
) -> Choice:
    why = why_not(things, box, pad) if things else None
    inside = pointed(f"{box.length_mm:g} × {box.width_mm:g} × {box.height_mm:g} mm")
    said = _said(why, rows) if why else _too_heavy(part, grams)
    return Choice(part, inside, part.level.free, said)


def _said(why: Why, rows: Sequence[Sized]) -> str:
    figures = {"needs": f"{why.needs_mm:.0f}", "has": f"{why.has_mm:.0f}"}
    if why.thing is None:
        return _("Each goes in, all together do not.")
    figures["thing"] = _name_of(why.thing, rows)
    if why.code == Lack.TOO_SHORT:
        return (
            _("%(thing)s wants %(needs)s mm of length with padding; it has %(has)s mm.") % figures
        )
    return _("%(thing)s wants %(needs)s mm across with padding; it has %(has)s mm.") % figures


def _name_of(place: int, rows: Sequence[Sized]) -> str:
    names = [row.name for row in rows if row.size for _each in range(row.count)]
    return names[place]


def _too_heavy(part: Part, grams: float) -> str:
    bears = part.spec.get("load_g")
    if isinstance(bears, int | float) and grams > bears:
        return _("It bears %(bears)g kg; what lies in it weighs about %(grams).1f kg.") % {
            "bears": bears / 1000,
            "grams": grams / 1000,
        }
    return ""
