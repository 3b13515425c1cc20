"""What parts cost the shop: the owner's alone."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from django.db.models import F, Sum

from shop.stores.kinds import Counted
from shop.stores.models import Deed, Part, StockRow

_USED = (Deed.FITTED, Deed.RETURNED, Deed.WRITTEN_OFF)


@dataclass(frozen=True)
class Used:
    """What was taken out of stock for something, at cost, and how many parts have no cost."""

    minor: int = 0
    without_cost: int = 0


def used_at_cost(abouts: Iterable[str]) -> dict[str, Used]:
    """Key such as ``build:142`` → what went into it and did not come back, at cost.

    A part costs the mean of what it cost as it came in, by quantity; without such rows, what its
    own page says. What is counted in millimetres has its cost by the metre.
    """
    keys = list(abouts)
    rows = StockRow.objects.filter(about__in=keys, deed__in=_USED).order_by()
    taken = list(rows.values_list("about", "part").annotate(Sum("on_hand_change")))
    parts = Part.objects.in_bulk({part for _about, part, _sum in taken})
    means = _means(parts)
    found = {key: Used() for key in keys}
    for about, part, change in taken:
        each = means.get(part, parts[part].cost_minor)
        before = found[about]
        found[about] = (
            Used(before.minor, before.without_cost + (change != 0))
            if each is None
            else Used(
                before.minor + _cost(parts[part], -change, Decimal(each)), before.without_cost
            )
        )
    return found


def _means(parts: Iterable[int]) -> dict[int, Decimal]:
    came = StockRow.objects.filter(
        part__in=list(parts), deed=Deed.RECEIVED, cost_minor__isnull=False, on_hand_change__gt=0
    ).order_by()
    worth = Sum(F("on_hand_change") * F("cost_minor"))
    sums = came.values("part").annotate(count=Sum("on_hand_change"), cost=worth)
    return {row["part"]: Decimal(row["cost"]) / row["count"] for row in sums}


def _cost(part: Part, count: int, each: Decimal) -> int:
    per = 1000 if part.counted == Counted.MM else 1
    return int((each * count / per).quantize(Decimal(1), rounding=ROUND_HALF_UP))
