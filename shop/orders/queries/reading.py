"""Reads orders and answers."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Count, QuerySet

from shop.orders.models import Answer, Enquiry, EnquiryState, Order
from shop.web.reading import each_once


def orders() -> QuerySet[Order]:
    """Every order with its customer, the newest first."""
    return Order.objects.select_related("customer").order_by("-placed_at", "-pk")


def newest_answers(item_ids: Iterable[int]) -> dict[tuple[int, str], Answer]:
    """The newest answer of each kind: (item id, kind) → answer."""
    found = each_once(newest_answers, _by_kind, item_ids)
    return {(pk, kind): answer for pk, kinds in found.items() for kind, answer in kinds.items()}


def _by_kind(item_ids: list[int]) -> dict[int, dict[str, Answer]]:
    found: dict[int, dict[str, Answer]] = {}
    for answer in Answer.objects.filter(item__in=item_ids).order_by("at", "pk"):
        found.setdefault(answer.item_id, {})[answer.kind] = answer
    return found


def enquiries(state: str = EnquiryState.OPEN) -> QuerySet[Enquiry]:
    """Enquiries in a state: those that wait by their age, the settled ones newest first."""
    found = Enquiry.objects.filter(state=state).select_related("customer", "order", "noted_by")
    waits = state in {EnquiryState.OPEN, EnquiryState.ANSWERED}
    return found.order_by(*(("came_at", "pk") if waits else ("-state_since", "-pk")))


def enquiry_counts() -> dict[str, int]:
    """How many enquiries stand in each state; states without any are 0."""
    counted = Enquiry.objects.values_list("state").annotate(Count("pk")).order_by()
    return {**dict.fromkeys(EnquiryState.values, 0), **dict(counted)}


def unanswered_since(moment: datetime) -> QuerySet[Enquiry]:
    """Enquiries that came before a moment and nobody has answered."""
    return enquiries().filter(came_at__lte=moment)
