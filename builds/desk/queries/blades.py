"""What the pages of blades show."""

from dataclasses import dataclass

from builds.hilts.models import Blade, Hilt
from builds.hilts.queries.blades import blades, blades_of, facts_of
from builds.progress.models import Build
from shop.history.queries import Line, entries_about
from shop.people.models import Customer
from shop.stores.kinds import PartKind
from shop.stores.models import Part
from shop.stores.units import shown

HISTORY = 30


@dataclass(frozen=True)
class BladePage:
    """All that the page of a blade shows."""

    blade: Blade
    facts: str
    diameter: str
    length: str
    builds: list[Build]
    hilts: list[Hilt]  # of its customer, to try it in
    history: list[Line]


def blade_page(pk: int, unit: str) -> BladePage | None:
    """A blade with its builds and the hilts that it may be tried in."""
    blade = blades().filter(pk=pk).first()
    if blade is None:
        return None
    hilts = Hilt.objects.filter(customer=blade.customer_id)
    return BladePage(
        blade=blade,
        facts=facts_of(blade, unit),
        diameter=_size(blade.diameter_mm, unit),
        length=_size(blade.length_mm, unit),
        builds=list(blade.builds.select_related("hilt").order_by("-number")),
        hilts=list(hilts.order_by("name_folded", "pk")),
        history=entries_about(blade.about, HISTORY),
    )


def _size(mm: float | None, unit: str) -> str:
    return "" if mm is None else shown(mm, unit)


def blades_to_choose(customer: Customer | None) -> list[Blade]:
    """A customer's blades that are there still."""
    found = blades_of(customer.pk) if customer else []
    return [blade for blade in found if blade.ended_at is None]


def blades_in_stores(present: int | None = None) -> list[Part]:
    """Blades that are offered, and the one that is chosen already."""
    offered = Part.objects.filter(kind=PartKind.BLADE, retired=False)
    chosen = Part.objects.filter(pk=present or 0)
    return sorted((offered | chosen).distinct(), key=lambda part: (part.name_folded, part.pk))
