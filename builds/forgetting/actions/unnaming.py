"""Lets the names on papers and binding answers go, once the years are over."""

from datetime import datetime

from django.utils import timezone

from builds.forgetting.queries.held import rows_of
from builds.forgetting.reach import HELD
from shop.append_only import maintenance
from shop.history.actions import record
from shop.house.queries import house
from shop.people.models import Customer

GONE = "–"  # papers and askings are never without words


def drop_names(now: datetime) -> int:
    """Empty what the books kept of those whose years are over; of how many."""
    today = timezone.localtime(now, house().zone).date()
    due = Customer.objects.filter(named_until__lt=today, unnamed_at=None)
    for pk in list(due.values_list("pk", flat=True)):
        _drop(pk, now)
    return due.model.objects.filter(unnamed_at=now).count()


def _drop(pk: int, now: datetime) -> None:
    with maintenance():
        for held in HELD:
            for column in held.later:
                rows_of(held, pk).exclude(**{column: ""}).update(**{column: GONE})
        Customer.objects.filter(pk=pk).update(unnamed_at=now)
        record("customer_unnamed", f"customer:{pk}", None, now)
