"""What is kept of deeds, and for how long."""

from datetime import datetime
from uuid import UUID

from django.db import IntegrityError, transaction

from shop.later.models import KEPT, Deed
from shop.people.models import User


def is_first(key: UUID, by: User, now: datetime) -> bool:
    """Whether a deed comes for the first time; part of its transaction.

    Two that come at once wait for each other here: for the lock on the database (SQLite), or for
    the unique key (PostgreSQL).
    """
    try:
        with transaction.atomic():
            Deed.objects.create(key=key, by=by, done_at=now)
    except IntegrityError:
        return False
    return True


def let_go(key: UUID) -> None:
    """Let go of a key whose deed was refused, so that it is judged anew when it comes again."""
    Deed.objects.filter(key=key).delete()


def forget_old(now: datetime) -> None:
    """Let go of keys that no browser sends any more."""
    Deed.objects.filter(done_at__lt=now - KEPT).delete()
