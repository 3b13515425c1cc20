"""Writes history."""

from datetime import datetime
from typing import Any

from shop.history.models import Entry


def record(verb: str, about: str, actor: Any, at: datetime, **parameters: Any) -> Entry:
    """Write one deed into history, in the transaction of the deed itself.

    :param actor: the member of staff, or None for the customer or the clock.
    :param parameters: values that JSON knows; no personal name.
    """
    return Entry.objects.create(verb=verb, about=about, actor=actor, at=at, parameters=parameters)
