"""Changes what is known of a hilt."""

from datetime import datetime

from django.db import transaction

from builds.hilts.models import Hilt
from shop.history.actions import record
from shop.people.models import Customer, User


@transaction.atomic
def add_hilt(customer: Customer, name: str, by: User, now: datetime, note: str = "") -> Hilt:
    """Write a customer's hilt down."""
    hilt = Hilt.objects.create(customer=customer, name=name, note=note, since=now)
    record("hilt_added", f"hilt:{hilt.pk}", by, now)
    return hilt
