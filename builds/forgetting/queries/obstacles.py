"""What stands against forgetting somebody: work, money and parcels that are still open."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.handover.models import Return
from builds.progress.models import Build
from builds.progress.states import STAGES
from shop.orders.models import Order
from shop.orders.queries.ledger import standings
from shop.people.models import Customer


@dataclass(frozen=True)
class Obstacle:
    """One thing that has to end first, and where."""

    sentence: str
    url: str


def obstacles(customer: Customer) -> list[Obstacle]:
    """Everything that stands against it; empty where nothing does."""
    return [*_builds(customer), *_returns(customer), *_parcels(customer), *_money(customer)]


def _builds(customer: Customer) -> Iterator[Obstacle]:
    theirs = Build.objects.filter(item__order__customer=customer, state__in=STAGES)
    for build in theirs.select_related("hilt").order_by("number"):
        yield Obstacle(
            _("Build %(number)s is open: %(state)s.")
            % {"number": build, "state": build.get_state_display()},
            reverse("bench_sheet", args=[build.number]),
        )


def _returns(customer: Customer) -> Iterator[Obstacle]:
    theirs = Return.objects.filter(
        build__item__order__customer=customer, ended_at=None, became=None
    )
    for found in theirs:
        yield Obstacle(
            _("%s is announced back and not decided to its end.") % found,
            reverse("handover_return", args=[found.number]),
        )


def _parcels(customer: Customer) -> Iterator[Obstacle]:
    waiting = Parcel.objects.filter(left_at=None, opened_at=None)
    theirs = waiting.filter(goods__item__order__customer=customer).distinct()
    for parcel in theirs:
        yield Obstacle(
            _("A parcel for them has not left."), reverse("dispatch_parcel", args=[parcel.pk])
        )


def _money(customer: Customer) -> Iterator[Obstacle]:
    orders = {order.pk: order for order in Order.objects.filter(customer=customer)}
    for pk, stands in standings(orders).items():
        url = reverse("desk_money", args=[orders[pk].number])
        if stands.due:
            yield Obstacle(_("Order %s is not paid in full.") % orders[pk].number, url)
        elif stands.too_much:
            yield Obstacle(_("For order %s too much came in.") % orders[pk].number, url)
