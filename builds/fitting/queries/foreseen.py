"""What an order is likely to come to, by its parts lists and what stuck joints took."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from builds.fitting.models import BuildPart
from builds.progress.models import Build
from builds.teardown.queries import tried_since
from shop.house.models import House
from shop.house.queries import house
from shop.house.states import Prices
from shop.orders.models import LineOf, Quote
from shop.orders.queries import agreed, kit_minutes, part_price, rate_of
from shop.web.money import times


@dataclass(frozen=True)
class Foreseen:
    """What an order comes to at most as things stand, and what was agreed as its ceiling.

    ``unpriced``: parts on the list that have no price, and are not counted.
    """

    minor: int
    ceiling: int
    unpriced: int = 0

    @property
    def is_over(self) -> bool:
        """Whether it passes what was agreed; exactly at it, it does not."""
        return self.minor > self.ceiling


@dataclass
class _Planned:
    minor: int = 0
    unpriced: int = 0


def foreseen(builds: Iterable[Build]) -> dict[int, Foreseen]:
    """Build id → what its order comes to; builds whose order has no agreed ceiling are left out.

    To the high figure that was agreed comes what the parts lists hold beyond the parts quoted,
    and the minutes tried on stuck joints since the quote was written.
    """
    found = list(builds)
    quotes = {
        order_id: quote
        for order_id, quote in agreed(build.item.order_id for build in found).items()
        if quote.ceiling_minor is not None
    }
    if not quotes:
        return {}
    siblings = dict(
        Build.objects.filter(item__order__in=quotes).values_list("pk", "item__order_id")
    )
    planned = _planned(siblings)
    moments = {pk: quotes[order_id].made_at for pk, order_id in siblings.items()}
    tried = _by_order(tried_since(moments), siblings)
    minutes, shop = kit_minutes(_kits(quotes.values())), house()
    sums = {
        order_id: _sum(quote, planned[order_id], tried.get(order_id, 0), minutes, shop)
        for order_id, quote in quotes.items()
    }
    return {each.pk: sums[each.item.order_id] for each in found if each.item.order_id in sums}


def _planned(siblings: Mapping[int, int]) -> dict[int, _Planned]:
    planned: dict[int, _Planned] = defaultdict(_Planned)
    parts = BuildPart.objects.filter(build__in=siblings, ended_at=None, part__isnull=False)
    for each in parts.select_related("part"):
        price = part_price(each.part, each.quantity) if each.part else None
        of_order = planned[siblings[each.build_id]]
        of_order.minor += price or 0
        of_order.unpriced += price is None
    return planned


def _by_order(minutes: Mapping[int, int], siblings: Mapping[int, int]) -> dict[int, int]:
    summed: dict[int, int] = defaultdict(int)
    for build_id, tried in minutes.items():
        summed[siblings[build_id]] += tried
    return summed


def _kits(quotes: Iterable[Quote]) -> set[int]:
    return {line.kit_id for quote in quotes for line in quote.lines.all() if line.kit_id}


def _sum(
    quote: Quote, planned: _Planned, tried: int, kit_minutes: Mapping[int, int], shop: House
) -> Foreseen:
    rate = rate_of(getattr(quote.order.customer, "account", None), shop)
    quoted = 0
    for line in quote.lines.all():
        if line.kind in {LineOf.KIT, LineOf.PART, LineOf.EXTRA}:
            quoted += times(line.each_minor, line.quantity_thousandths, 1000)
            hours = times(rate, kit_minutes.get(line.kit_id or 0, 0), 60)
            quoted -= times(hours, line.quantity_thousandths, 1000)
    more = max(0, planned.minor - quoted) + times(rate, tried, 60)
    if quote.prices == Prices.WITHOUT_TAX:
        more += times(more, shop.tax_hundredths, 10_000)
    return Foreseen(quote.high_minor + more, quote.ceiling_minor or 0, planned.unpriced)
