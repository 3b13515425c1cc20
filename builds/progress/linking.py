"""How long an order's private link opens: while it is worked on, and for a year afterwards."""

from datetime import date, datetime, timedelta

from builds.progress.models import Build
from builds.progress.states import STAGES
from shop.clock import day_in
from shop.house.queries import house
from shop.orders.models import Order
from shop.post.actions import keep_open_until, link_for
from shop.post.models import PrivateLink, Scope

OUTLIVES_THE_WORK = timedelta(days=365)
# Whoever is told something now has this long to open it, however old the order is.
OPEN_FOR_NEWS = timedelta(days=30)


def order_link(order: Order, now: datetime) -> PrivateLink:
    """The link to an order's page, for telling somebody now; one that runs out soon is renewed."""
    ends, today = last_day(order), day_in(house().zone, now)
    if ends and ends < today + OPEN_FOR_NEWS:
        ends = today + OUTLIVES_THE_WORK
    return keep_open_until(link_for(Scope.ORDER, f"order:{order.pk}", now), ends)


def follow_the_work(order: Order) -> None:
    """Let an order's link run out a year after its last build ended, and not before."""
    for link in PrivateLink.objects.filter(about=f"order:{order.pk}"):
        keep_open_until(link, last_day(order))


def last_day(order: Order) -> date | None:
    """The last day on which the order's link opens; None while a build of it is open."""
    works = Build.objects.filter(item__order=order)
    if works.filter(state__in=STAGES).exists():
        return None
    ended = works.order_by("-state_since").values_list("state_since", flat=True).first()
    return day_in(house().zone, ended or order.placed_at) + OUTLIVES_THE_WORK
