"""What the deeds of the line share: one at a time, and each form once."""

from datetime import datetime
from uuid import UUID

from shop.history.actions import record
from shop.history.queries import made_once
from shop.house.models import House
from shop.people.models import User


class Refused(ValueError):
    """A deed on the line that cannot be, said in one sentence."""


def first_time(token: UUID, made: str, by: User, now: datetime) -> bool:
    """Whether a form does its deed for the first time. Part of a deed, which then stands alone."""
    # The one row of settings is the lock: two tablets change the line one after the other.
    House.objects.select_for_update().get()
    if made_once(token):
        return False
    record("once", f"once:{token}", by, now, made=made)
    return True
