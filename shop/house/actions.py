"""Numbers without gaps, and the mornings that were looked through."""

from datetime import date

from django.db import transaction

from shop.house.models import Counter, House


def next_number(series: str) -> int:
    """The next number of a series. Call it inside the transaction that uses it.

    The row is locked until that transaction ends, so a number that was not used is given out
    again and no two are alike.
    """
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("next_number must run inside the transaction that uses the number")
    counter, _ = Counter.objects.select_for_update().get_or_create(series=series)
    counter.last += 1
    counter.save(update_fields=["last"])
    return counter.last


def look_through_morning(day: date) -> bool:
    """Take a morning for looking through; False where somebody has taken it already."""
    waiting = House.objects.filter(id=1).exclude(digest_on=day)
    return waiting.update(digest_on=day) == 1
