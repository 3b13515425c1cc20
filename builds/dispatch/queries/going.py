"""How orders stand in money as their things go: what is due before a build or a parcel leaves.

An order's things may go together or as they are ready. What is asked before something goes is its
part of what is charged, and the parts of what has gone before it; the last to go is asked for all
that is left. So the parts of any way of parting an order add up to the whole.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from django.db.models import Exists, OuterRef

from builds.dispatch.models import PackedGoods, Parcel
from builds.dispatch.queries.parcels import parcel_of
from builds.progress.models import Build
from builds.progress.states import FINISHED
from shop.house.queries import house
from shop.orders.models import Order
from shop.orders.queries.ledger import Standing, over_limit, shares, standings


@dataclass(frozen=True)
class Thing:
    """An item of an order: in which parcel it lies, whether it has gone or is still to go."""

    item: int
    parcel: int | None = None
    is_gone: bool = False
    waits: bool = False  # an open build; goods that lie in no parcel hold nothing up


@dataclass(frozen=True)
class Going:
    """The money of an order, as something of it goes."""

    money: Standing = field(default_factory=Standing)
    others_stay: bool = False  # another open build of the order does not go along
    own: int = 0  # the part of what goes
    share: int = 0  # of what is charged: what has gone, and what goes now
    keeps_deposit: bool = True
    over_limit: bool = False  # the customer owes more than the account allows
    unpaid_beside: str = ""  # an order of which goods alone lie in its parcel, and are not paid

    @property
    def asked(self) -> int:
        """What must have come by then: the share, or all of it with the last to go."""
        return self.share if self.others_stay else (self.money.charged or 0)

    @property
    def due(self) -> int:
        """What is still open of it."""
        return max(self.asked - self.money.received - self.money.written_off, 0)

    @property
    def may_follow(self) -> bool:
        """Whether it may be paid later: on account, within the limit."""
        return self.money.on_account and not self.over_limit


@dataclass(frozen=True)
class Money:
    """What the sums of some orders are made of, read at once."""

    things: dict[int, list[Thing]]
    stands: dict[int, Standing]
    parts: dict[int, int]
    over: set[int]
    keeps_deposit: bool

    def going(self, order: int, items: set[int]) -> Going:
        """How an order stands as some of its items go."""
        gone = {thing.item for thing in self.things[order] if thing.is_gone}
        return Going(
            money=self.stands[order],
            others_stay=any(
                thing.waits and thing.item not in items for thing in self.things[order]
            ),
            own=sum(self.parts.get(item, 0) for item in items - gone),
            share=sum(self.parts.get(item, 0) for item in items | gone),
            keeps_deposit=self.keeps_deposit,
            over_limit=order in self.over,
        )

    def beside(self, order: int, parcel: int) -> set[int]:
        """The items of an order that lie in a parcel."""
        return {thing.item for thing in self.things[order] if thing.parcel == parcel}


def money_of(order_ids: Iterable[int]) -> Money:
    """The money of orders and what of them lies where, in a constant number of queries."""
    ids = set(order_ids)
    stands = standings(ids)
    things: dict[int, list[Thing]] = {pk: [] for pk in ids}
    builds = list(Build.objects.filter(item__order__in=ids).select_related("item"))
    packed = parcel_of(build.pk for build in builds)
    for build in builds:
        parcel = packed.get(build.pk)
        things[build.item.order_id].append(
            Thing(
                build.item_id,
                parcel.pk if parcel else None,
                is_gone=build.state in FINISHED,
                waits=build.is_open,
            )
        )
    for goods in _goods(ids):
        left = goods.parcel.left_at is not None
        things[goods.item.order_id].append(Thing(goods.item_id, goods.parcel_id, is_gone=left))
    return Money(things, stands, shares(stands), over_limit(ids), house().keeps_deposit)


def _goods(order_ids: set[int]) -> Iterable[PackedGoods]:
    rows = PackedGoods.objects.filter(item__order__in=order_ids, taken_out_at=None)
    return rows.select_related("item", "parcel")


def goings(rows: Sequence[Build]) -> dict[int, Going]:
    """Build id → the money it goes with: alone, or with what lies beside it in its parcel."""
    lie_in = {pk: parcel.pk for pk, parcel in parcel_of(row.pk for row in rows).items()}
    others = _goods_beside(set(lie_in.values()))
    along = {order for orders in others.values() for order in orders}
    money = money_of({row.item.order_id for row in rows} | along)
    found = {}
    for row in rows:
        order, items, parcel = row.item.order_id, {row.item_id}, lie_in.get(row.pk)
        if parcel is not None:
            items |= money.beside(order, parcel)
        going = money.going(order, items)
        unpaid = _unpaid(money, parcel, others.get(parcel or 0, {}))
        found[row.pk] = replace(going, unpaid_beside=unpaid) if unpaid else going
    return found


def _goods_beside(parcel_ids: set[int]) -> dict[int, dict[int, str]]:
    """Parcel id → the orders of which goods alone lie in it, and their numbers.

    An order with a build in it is asked for by that build.
    """
    found: dict[int, dict[int, str]] = {}
    if not parcel_ids:
        return found
    builds = Build.objects.filter(
        item__order=OuterRef("item__order"),
        packed__parcel=OuterRef("parcel"),
        packed__taken_out_at=None,
    )
    rows = PackedGoods.objects.filter(~Exists(builds), parcel__in=parcel_ids, taken_out_at=None)
    for row in rows.select_related("item__order").order_by("pk"):
        found.setdefault(row.parcel_id, {})[row.item.order_id] = row.item.order.number
    return found


def _unpaid(money: Money, parcel: int | None, orders: Mapping[int, str]) -> str:
    """The first of those orders whose goods in a parcel are not paid."""
    for order, number in orders.items():
        going = money.going(order, money.beside(order, parcel or 0))
        if money.stands[order].charged is not None and going.due and not going.may_follow:
            return number
    return ""


@dataclass(frozen=True)
class Due:
    """What one order is asked for before a parcel leaves."""

    order: Order
    going: Going


def parcel_dues(parcel: Parcel) -> list[Due]:
    """What is asked for of each order that has something in a parcel."""
    inside = Order.objects.filter(
        items__build__packed__parcel=parcel, items__build__packed__taken_out_at=None
    )
    goods = Order.objects.filter(
        items__packed_goods__parcel=parcel, items__packed_goods__taken_out_at=None
    )
    found = list((inside | goods).distinct().order_by("pk"))
    money = money_of(order.pk for order in found)
    return [
        Due(order, money.going(order.pk, money.beside(order.pk, parcel.pk)))
        for order in found
        if money.stands[order.pk].charged is not None
    ]


@dataclass(frozen=True)
class Part:
    """A part of an order that goes by itself: a parcel, or one build that lies in none."""

    builds: list[Build]
    parcel: Parcel | None
    going: Going


def parts_to_go(order: Order) -> list[Part]:
    """The parts of an order that are still to go, each as if it were the next."""
    builds = list(
        Build.objects.filter(item__order=order).select_related("hilt", "item").order_by("number")
    )
    here = [build for build in builds if build.is_open]
    packed, money = parcel_of(build.pk for build in here), money_of([order.pk])
    groups: dict[str, list[Build]] = {}
    for build in here:
        parcel = packed.get(build.pk)
        groups.setdefault(f"parcel {parcel.pk}" if parcel else f"build {build.pk}", []).append(
            build
        )
    return [_part(group, packed.get(group[0].pk), money, order.pk) for group in groups.values()]


def _part(group: list[Build], parcel: Parcel | None, money: Money, order: int) -> Part:
    items = {build.item_id for build in group}
    if parcel:
        items |= money.beside(order, parcel.pk)
    return Part(group, parcel, money.going(order, items))
