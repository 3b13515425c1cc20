"""Takes the names of somebody out of words on the work, which stay."""

import re
from collections.abc import Iterable
from typing import Any

from shop.orders.models import Order
from shop.people.models import Customer

GONE = "…"
LEAST = 3  # signs; shorter names would hit every other word


def names_of(customer: Customer) -> list[str]:
    """All by which somebody is known, the longest first."""
    said = [customer.full_name, customer.called, customer.email, customer.phone]
    said += [*customer.full_name.split()[-1:], *customer.address.splitlines()]
    for name, address in Order.objects.filter(customer=customer).values_list(
        "ship_name", "ship_address"
    ):
        said += [name, *address.splitlines()]
    found = {name.strip(" ,") for name in said}
    return sorted((name for name in found if len(name) >= LEAST), key=len, reverse=True)


class Scrub:
    """Takes some names out of words, wherever they stand as whole words."""

    def __init__(self, names: Iterable[str]) -> None:
        either = "|".join(re.escape(name) for name in names)
        self.pattern = re.compile(rf"(?<!\w)(?:{either})(?!\w)") if either else None

    def text(self, words: str) -> str:
        """Words without the names."""
        return self.pattern.sub(GONE, words) if self.pattern else words

    def value(self, value: Any) -> Any:
        """The same for anything that JSON knows."""
        if isinstance(value, str):
            return self.text(value)
        if isinstance(value, list):
            return [self.value(each) for each in value]
        if isinstance(value, dict):
            return {key: self.value(each) for key, each in value.items()}
        return value
