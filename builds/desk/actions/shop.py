"""Changes the one row of the shop. It lies below history, so its deed is written here."""

from datetime import datetime

from django.db import transaction

from shop.history.actions import record
from shop.house.models import House
from shop.people.models import User


@transaction.atomic
def change_shop(house: House, changed: list[str], *, by: User, now: datetime) -> None:
    """Save the named fields of the shop, and no others: another tablet may change the rest."""
    if changed:
        house.save(update_fields=changed)
        record("house_changed", "house", by, now, fields=changed)
