"""Changes customers."""

from datetime import datetime
from typing import Any

from django.db import transaction

from shop.history.actions import record
from shop.people.models import Customer, User


@transaction.atomic
def add_customer(fields: dict[str, Any], by: User, now: datetime) -> Customer:
    """Write a new customer down.

    :param fields: called, full_name, email, phone, address, country, note.
    """
    customer = Customer.objects.create(**fields, since=now)
    record("customer_added", f"customer:{customer.pk}", by, now)
    return customer


@transaction.atomic
def change_customer(customer: Customer, fields: dict[str, Any], by: User, now: datetime) -> None:
    """Change what is known of a customer."""
    for name, value in fields.items():
        setattr(customer, name, value)
    customer.save()
    record("customer_changed", f"customer:{customer.pk}", by, now, fields=sorted(fields))
