"""Reads orders and answers."""

from collections.abc import Iterable

from django.db.models import QuerySet

from shop.orders.models import Answer, Order


def orders() -> QuerySet[Order]:
    """Every order with its customer, the newest first."""
    return Order.objects.select_related("customer").order_by("-placed_at", "-pk")


def newest_answers(item_ids: Iterable[int]) -> dict[tuple[int, str], Answer]:
    """The newest answer of each kind: (item id, kind) → answer."""
    found = Answer.objects.filter(item__in=list(item_ids)).order_by("at", "pk")
    return {(answer.item_id, answer.kind): answer for answer in found}
