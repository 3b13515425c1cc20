"""Locks a hilt, and sees to it that a double tap does its deed once."""

from datetime import datetime
from uuid import UUID

from builds.hilts.models import Hilt
from shop.history.actions import record
from shop.history.queries import made_once
from shop.people.models import User


def locked(hilt_id: int) -> Hilt:
    """The hilt, its row locked until the transaction ends: its deeds come one after the other."""
    return Hilt.objects.select_for_update(of=("self",)).get(pk=hilt_id)


def made_before(token: UUID) -> int | None:
    """The key of what a form with this token made before; None when it is new."""
    made = made_once(token)
    return int(made.rpartition(":")[2]) if made else None


def remember(token: UUID, made: str, by: User, now: datetime) -> None:
    """Keep what a form with this token made, as ``section:7``."""
    record("once", f"once:{token}", by, now, made=made)
