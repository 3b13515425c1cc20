"""What lies in a parcel, what might lie in it, and what of the same orders stays behind."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Q

from builds.dispatch.models import Packed, PackedGoods, Parcel
from builds.progress.models import Build
from builds.progress.states import STAGES, Leaves
from shop.orders.models import Item, ItemKind


@dataclass(frozen=True)
class Contents:
    """Builds and goods in a parcel; goods that go to the same address and are still here."""

    builds: Sequence[Packed]
    goods: Sequence[Item]
    offered: Sequence[Item]
    staying: Sequence[Build]

    @property
    def orders(self) -> set[int]:
        """The orders of which something lies in it."""
        builds = {packed.build.item.order_id for packed in self.builds}
        return builds | {item.order_id for item in self.goods}


def contents(parcel: Parcel) -> Contents:
    """What lies in a parcel; ``parcel.inside`` is read with it. In three queries."""
    inside: list[Packed] = parcel.inside  # type: ignore[attr-defined]
    goods = goods_in(parcel)
    orders = {packed.build.item.order_id for packed in inside} | {item.order_id for item in goods}
    is_open = parcel.left_at is None and parcel.opened_at is None
    return Contents(
        builds=inside,
        goods=goods,
        offered=_offered(parcel, orders) if is_open else [],
        staying=_staying(inside, orders) if is_open else [],
    )


def goods_in(parcel: Parcel) -> list[Item]:
    """The goods in a parcel, with the parts that they are in stores."""
    packed = PackedGoods.objects.filter(parcel=parcel, taken_out_at=None)
    rows = packed.select_related("item__part", "item__order").order_by("item")
    return [row.item for row in rows]


def goods_waiting() -> dict[int, list[Item]]:
    """Part id → goods that were ordered of it and lie in no parcel yet, in one query."""
    found: dict[int, list[Item]] = {}
    rows = Item.objects.filter(kind=ItemKind.GOODS, part__isnull=False).filter(_still_here())
    for item in rows.select_related("order").order_by("pk"):
        found.setdefault(item.part_id or 0, []).append(item)
    return found


def _still_here() -> Q:
    """Goods in no parcel, of orders that are not over."""
    in_a_parcel = PackedGoods.objects.filter(item=OuterRef("pk"), taken_out_at=None)
    return ~Exists(in_a_parcel) & ~_over()


def _over() -> Q:
    builds = Build.objects.filter(item__order=OuterRef("order"))
    return Q(Exists(builds) & ~Exists(builds.filter(state__in=STAGES)))


def _offered(parcel: Parcel, orders: set[int]) -> list[Item]:
    """Goods in no parcel, of orders that go to the same address and are not over."""
    to = parcel.consignee
    if to is None:
        return []
    in_a_parcel = PackedGoods.objects.filter(item=OuterRef("pk"), taken_out_at=None)
    rows = (
        Item.objects.filter(kind=ItemKind.GOODS, order__customer=to.customer_id)
        .filter(~Exists(in_a_parcel))
        .filter(Q(order__in=orders) | ~_over())
        .select_related("order__customer", "part__level")
        .order_by("order", "pk")
    )
    return [item for item in rows if item.order.consignee == to]


def _staying(inside: Sequence[Packed], orders: set[int]) -> list[Build]:
    """Builds of the same orders that are not in any parcel yet."""
    packed = Packed.objects.filter(build=OuterRef("pk"), taken_out_at=None)
    rows = Build.objects.filter(item__order__in=orders, state__in=STAGES, leaves_by=Leaves.POST)
    here = {each.build_id for each in inside}
    found = rows.filter(~Exists(packed)).exclude(pk__in=here)
    return list(found.select_related("hilt", "tray").order_by("number"))
