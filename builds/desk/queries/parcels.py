"""A parcel on the intake for which an order is begun."""

from builds.intake.models import Arrival
from builds.progress.models import Build
from shop.orders.models import Order


def parcel_waiting(key: str) -> Arrival | None:
    """The parcel that a page names, while it waits for its build; None where there is none."""
    if not key.isascii() or not key.isdecimal() or len(key) > 18:
        return None
    return Arrival.objects.filter(pk=key, is_matched=False, went="").first()


def build_for(order: Order) -> Build | None:
    """The build of a new order that has a hilt, which may lie in a parcel."""
    return Build.objects.filter(item__order=order, hilt__isnull=False).order_by("pk").first()
