"""How the order of a build stands in money, and what of it goes with the build."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from builds.dispatch.queries import parcel_of
from builds.progress.models import Build
from builds.progress.states import FINISHED
from shop.house.queries import house
from shop.orders.queries.ledger import Standing, over_limit, shares, standings


@dataclass(frozen=True)
class Going:
    """The money of a build's order, as the build goes."""

    money: Standing = field(default_factory=Standing)
    others_stay: bool = False  # another open build of the order lies in no parcel
    share: int = 0  # of what is charged: what left, what is packed, and this one
    keeps_deposit: bool = True
    over_limit: bool = False  # the customer owes more than the account allows


def goings(rows: Sequence[Build]) -> dict[int, Going]:
    """Build id → the money it goes with, in a constant number of queries."""
    order_ids = {row.item.order_id for row in rows}
    found: dict[int, list[Build]] = {pk: [] for pk in order_ids}
    for other in Build.objects.filter(item__order__in=order_ids).select_related("item"):
        found[other.item.order_id].append(other)
    packed = set(parcel_of(other.pk for others in found.values() for other in others))
    money, keeps = standings(order_ids), house().keeps_deposit
    parts, over = shares(money), over_limit(order_ids)
    return {
        row.pk: Going(
            money=money[row.item.order_id],
            others_stay=_others_stay(row, found[row.item.order_id], packed),
            share=_share(row, found[row.item.order_id], packed, parts),
            keeps_deposit=keeps,
            over_limit=row.item.order_id in over,
        )
        for row in rows
    }


def _others_stay(build: Build, others: list[Build], packed: set[int]) -> bool:
    return any(
        other.is_open and other.pk != build.pk and other.pk not in packed for other in others
    )


def _share(build: Build, others: list[Build], packed: set[int], parts: dict[int, int]) -> int:
    go = [
        other
        for other in others
        if other.pk == build.pk or other.pk in packed or other.state in FINISHED
    ]
    return sum(parts.get(other.item_id, 0) for other in go)
