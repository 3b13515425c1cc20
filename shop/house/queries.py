"""Reads the shop's settings."""

from shop.house.models import House
from shop.web.reading import once


@once
def house() -> House:
    """The shop; an unsaved row with defaults before the first set-up."""
    return House.objects.filter(id=1).first() or House(name="Hiltyard")


def is_set_up() -> bool:
    """Whether the first set-up is done."""
    return House.objects.filter(id=1, set_up_at__isnull=False).exists()
