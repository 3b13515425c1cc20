"""The sheet that a customer gets before posting a hilt in."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from shop.clock import now
from shop.diary.queries import calendar, closed_days
from shop.orders.models import Order
from shop.web.partials import page


@require_safe
def posting_in(request: HttpRequest, number: str) -> HttpResponse:
    """What to write on the box, how to pack, the cell, the address, closed days: to be printed."""
    order = get_object_or_404(Order.objects.select_related("customer"), number=number)
    diary = calendar(request.house)  # type: ignore[attr-defined]
    shown = {"order": order, "closed": closed_days(diary, diary.today(now()))}
    return page(request, "desk/posting_in.html", {"room": "orders", "shown": shown})
