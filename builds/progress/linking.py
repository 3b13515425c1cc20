"""Customers' private pages: an order's closes a year after the work on it, a hilt's never."""

from datetime import date, datetime, timedelta

from builds.hilts.models import Hilt
from builds.progress.models import Build
from builds.progress.states import STAGES
from shop.clock import day_in
from shop.house.queries import house
from shop.orders.models import Order
from shop.post.actions import keep_open_until, link_for
from shop.post.models import PrivateLink, Scope

STAYS_OPEN = timedelta(days=365)
# Whoever is told something now has this long to open it, however old the order is.
OPEN_FOR_NEWS = timedelta(days=30)


def order_link(order: Order, now: datetime) -> PrivateLink:
    """The link to an order's page, for telling somebody now: one that is over opens once more.

    Only such a link has a day of its own; any other follows the work.
    """
    ends, today = last_day(order), day_in(house().zone, now)
    is_short = ends is not None and ends < today + OPEN_FOR_NEWS
    link = link_for(Scope.ORDER, f"order:{order.pk}", now)
    return keep_open_until(link, today + STAYS_OPEN if is_short else None)


def hilt_link(hilt: Hilt, now: datetime) -> PrivateLink:
    """The link to a hilt's own page, which does not run out: the hilt outlives its orders."""
    return link_for(Scope.HILT, hilt.about, now)


def is_over(order: Order, link: PrivateLink, today: date) -> bool:
    """Whether the page of an order has closed, and was not opened once more since."""
    ends = link.expires_on or last_day(order)
    return ends is not None and ends < today


def last_day(order: Order) -> date | None:
    """A year after the last of its builds ended; None while one is open, and for goods alone."""
    works = Build.objects.filter(item__order=order)
    newest = works.order_by("-state_since").first()
    if newest is None or works.filter(state__in=STAGES).exists():
        return None
    return day_in(house().zone, newest.state_since) + STAYS_OPEN
