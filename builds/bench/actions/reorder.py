"""Sets how safe the shop wants to be against running out of a part."""

from datetime import datetime

from django.db import transaction

from shop.history.actions import record
from shop.house.models import House
from shop.people.models import User


@transaction.atomic
def set_service(percent: int, *, by: User, now: datetime) -> None:
    """Keep how many waits for a delivery in 100 must not run out. Set twice is set once."""
    if House.objects.filter(id=1).exclude(service_percent=percent).update(service_percent=percent):
        record("house_changed", "house", by, now, fields=["service_percent"])
