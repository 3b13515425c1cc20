"""By which service the parcels of orders would go, many orders at once."""

from collections.abc import Iterable

from builds.dispatch.models import Packed, Service
from builds.dispatch.queries.travel import services
from builds.dispatch.reach import why_not_there
from shop.house.queries import house
from shop.orders.models import Consignee


def services_to(consignees: Iterable[Consignee]) -> dict[str, Service]:
    """Key of a consignee → by what a parcel to them would go; none where nothing gets there.

    What the last parcel to the customer went by, where it still gets there; else the first of the
    shop's list that does. Two queries, however many there are.
    """
    to, listed, home = {each.key: each for each in consignees}, services(), house().country
    last = (
        _last_by({each.customer_id for each in to.values() if each.customer_id}) if listed else {}
    )
    found = {}
    for key, each in to.items():
        able = [row for row in listed if not why_not_there(row.mode, home, each.country)]
        able.sort(key=lambda row: row.pk != last.get(each.customer_id))
        if able:
            found[key] = able[0]
    return found


def _last_by(customers: set[int]) -> dict[int, int]:
    """Customer → the service of the last parcel that had something of theirs."""
    whose = "build__item__order__customer"
    sent = Packed.objects.filter(**{f"{whose}__in": customers}, taken_out_at=None)
    rows = sent.exclude(parcel__service=None).order_by("parcel", "pk")
    return dict(rows.values_list(whose, "parcel__service"))
