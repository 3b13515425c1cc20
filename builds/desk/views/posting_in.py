"""The sheet that a customer gets before posting a hilt in."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from builds.handover.queries.returns import causes_of, instead_of_posting
from builds.progress.models import Build
from builds.progress.states import State
from shop.clock import now
from shop.diary.queries import calendar, nobody_here, told_holidays
from shop.orders.models import Order
from shop.web.partials import page


@require_safe
def posting_in(request: HttpRequest, number: str) -> HttpResponse:
    """What to write on the box, how to pack, the cell, the address, closed days: to be printed."""
    order = get_object_or_404(Order.objects.select_related("customer"), number=number)
    diary = calendar(request.house)  # type: ignore[attr-defined]
    shown = {
        "order": order,
        "holidays": told_holidays(diary, diary.today(now())),
        "away": nobody_here(diary, diary.today(now())),
        **_kept_away(order),
    }
    return page(request, "desk/posting_in.html", {"room": "orders", "shown": shown})


def _kept_away(order: Order) -> dict[str, Any]:
    """What stands there instead, where the cell of what is to come is harmed."""
    to_come = Build.objects.filter(item__order=order, state=State.BOOKED, hilt__isnull=False)
    builds = list(to_come)
    causes = causes_of(builds)
    harmed = [found for found in causes.values() if found.is_harmed]
    return {
        "kept_away": instead_of_posting(harmed),
        "may_be_posted": not harmed or len(harmed) < len(builds),
        "return_number": next((str(found) for found in causes.values()), ""),
    }
