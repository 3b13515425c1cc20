"""Reads blades: a customer's, those tried in a hilt, and what is known of each in words."""

from collections.abc import Iterable

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from builds.hilts.models import Blade, Hilt
from shop.stores.units import shown
from shop.web.prefix import begins


def blades() -> QuerySet[Blade]:
    """Blades with all that a page shows of them; those that are there before those gone."""
    found = Blade.objects.select_related("customer", "part", "tried_in", "counted_by", "tried_by")
    return found.order_by("ended_at", "name_folded", "pk")


def blades_of(customer_id: int) -> list[Blade]:
    """A customer's blades."""
    return list(blades().filter(customer=customer_id))


def blades_tried_in(hilt: Hilt) -> list[Blade]:
    """Blades that were tried in a hilt and are there still."""
    return list(blades().filter(tried_in=hilt, ended_at=None))


def blades_named(text: str) -> QuerySet[Blade]:
    """Blades whose name begins so."""
    return blades().filter(begins("name_folded", text))


def facts_of(blade: Blade, unit: str) -> str:
    """What is known of a blade in one line: 25.4 mm × 914 mm · 264 pixels · three pins."""
    sizes = [shown(mm, unit) for mm in (blade.diameter_mm, blade.length_mm) if mm is not None]
    known = [" × ".join(sizes), _pixels(blade), blade.connector]
    return " · ".join(each for each in known if each)


def told_of(blade: Blade, unit: str) -> str:
    """What its owner is told of a blade: sizes, the pixels where somebody counted, connector."""
    sizes = [shown(mm, unit) for mm in (blade.diameter_mm, blade.length_mm) if mm is not None]
    counted = _("%d pixels") % blade.pixels if blade.counted_at and blade.pixels else ""
    return " · ".join(each for each in (" × ".join(sizes), counted, blade.connector) if each)


def with_facts(found: Iterable[Blade], unit: str) -> list[tuple[Blade, str]]:
    """Blades, each with its line."""
    return [(blade, facts_of(blade, unit)) for blade in found]


def _pixels(blade: Blade) -> str:
    if blade.pixels is None:
        return ""
    if not blade.pixels:
        return _("no pixels")
    if blade.counted_at is None:
        return _("%d pixels, not counted") % blade.pixels
    return _("%d pixels, counted") % blade.pixels
