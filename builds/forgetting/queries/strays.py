"""Enquiries that nobody tied to a customer, and that name the customer's mail address."""

import re

from shop.orders.models import Enquiry
from shop.people.models import Customer

_ADDRESS = re.compile(r"[^\s<>()\[\],;:\"']+@[^\s<>()\[\],;:\"']+")


def strays(customer: Customer) -> list[Enquiry]:
    """Those of a customer, the oldest first. A longer address that only ends alike is another."""
    wanted = customer.email_folded
    if not wanted:
        return []
    loose = Enquiry.objects.filter(customer=None).order_by("pk")
    named = loose.filter(contact__contains="@") | loose.filter(wishes__contains="@")
    return [each for each in named if wanted in _addresses(f"{each.contact} {each.wishes}")]


def _addresses(words: str) -> set[str]:
    return {found.rstrip(".!?").casefold() for found in _ADDRESS.findall(words)}
