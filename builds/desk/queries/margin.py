"""What a job leaves: what is charged without tax, less parts at cost and the hours planned."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Sum

from builds.desk.queries.orders import Sheet
from builds.progress.models import Build
from shop.house.models import House
from shop.orders.models import Invoice, LineOf, Order, Paper, QuoteLine
from shop.orders.queries.invoicing import agreed_quote
from shop.orders.queries.ledger import Standing, shares
from shop.stores.models import KitHours
from shop.stores.queries.used import Used, used_at_cost


@dataclass(frozen=True)
class Leaves:
    """One build: what comes in for it, what goes into it. Hours are planned, not measured."""

    build: Build
    net: int
    parts: Used
    minutes: int
    hours_minor: int

    @property
    def left(self) -> int:
        """What is left when parts and hours are paid."""
        return self.net - self.parts.minor - self.hours_minor


def margins(sheet: Sheet, stands: Standing, house: House) -> list[Leaves]:
    """What each build of an order leaves; none while nothing is charged."""
    builds = [line.build for line in sheet.lines if line.build]
    if not builds or stands.charged is None:
        return []
    used = used_at_cost(build.about for build in builds)
    nets, minutes = _nets(sheet.order, builds, stands), _minutes(sheet.order, builds)
    return [
        Leaves(
            build=build,
            net=nets.get(build.item_id, 0),
            parts=used[build.about],
            minutes=minutes.get(build.item_id, 0),
            hours_minor=minutes.get(build.item_id, 0) * house.hour_minor // 60,
        )
        for build in builds
    ]


def _nets(order: Order, builds: Sequence[Build], stands: Standing) -> dict[int, int]:
    """Item id → its part of what is charged without tax."""
    charged, net = stands.charged or 0, _net(order, stands)
    if len(builds) == 1:
        return {builds[0].item_id: net}
    parts = shares({order.pk: stands})
    return {item: part * net // charged if charged else 0 for item, part in parts.items()}


def _net(order: Order, stands: Standing) -> int:
    if stands.invoiced is not None:
        rows = Invoice.objects.filter(order=order).exclude(paper=Paper.RECEIPT).order_by()
        return int(rows.aggregate(net=Sum("net_minor"))["net"] or 0)
    quote = agreed_quote(order)
    return quote.high_minor - quote.tax_minor if quote else 0


def _minutes(order: Order, builds: Sequence[Build]) -> dict[int, int]:
    """Item id → minutes planned: hours that were quoted, and those of the kits."""
    quote = agreed_quote(order)
    lines = list(QuoteLine.objects.filter(quote=quote)) if quote else []
    hours = KitHours.objects.filter(kit__in={line.kit_id for line in lines if line.kit_id})
    of_kit = dict(hours.order_by().values_list("kit").annotate(Sum("minutes")))
    only = builds[0].item_id if len(builds) == 1 else 0
    found: dict[int, int] = {}
    for line in lines:
        per = 60 if line.kind == LineOf.HOURS else of_kit.get(line.kit_id or 0, 0)
        item = line.item_id or only
        found[item] = found.get(item, 0) + line.quantity_thousandths * per // 1000
    return found
