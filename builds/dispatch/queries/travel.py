"""By what a parcel goes and what it is worth: the usual service, the value, who covers how much."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q

from builds.dispatch.models import PackedGoods, Parcel, Service
from builds.dispatch.queries.weights import Weight, kilograms
from builds.dispatch.reach import why_not_there
from builds.dispatch.states import Insured
from builds.progress.models import Build
from shop.house.queries import house
from shop.orders.models import Consignee, Item, ItemKind
from shop.orders.queries.ledger import shares, standings


@dataclass(frozen=True)
class Travel:
    """How a parcel goes, and what speaks against it."""

    services: list[Service]
    service: Service | None
    too_heavy_by: str  # over the heaviest that the service takes; empty where it is not

    @property
    def most(self) -> str:
        """The heaviest parcel that the service takes."""
        return kilograms(self.service.most_g) if self.service else ""


@dataclass(frozen=True)
class Worth:
    """What a parcel is worth and who bears its loss. The owner's alone."""

    minor: int
    is_agreed: bool  # nobody declared it: the share of what was agreed
    insured_by: str
    covered_minor: int | None

    @property
    def is_not_covered(self) -> bool:
        """Whether the carrier shall bear more than the service covers."""
        if self.insured_by not in {"", Insured.CARRIER} or self.covered_minor is None:
            return False
        return self.minor > self.covered_minor


def services() -> list[Service]:
    """The services that the shop uses, in its order."""
    return list(Service.objects.filter(retired=False))


def travel(parcel: Parcel, weight: Weight) -> Travel:
    """How a parcel goes; its service is read with it."""
    service = parcel.service
    over = 0.0
    if service and service.most_g is not None and weight.real_g is not None:
        over = weight.real_g - service.most_g
    found = services()
    if service and service not in found:
        found.append(service)
    return Travel(found, service, kilograms(over) if over > 0 else "")


def usual_service(to: Consignee) -> Service | None:
    """What the last parcel to a person went by, else the last to their country, else the one.

    None that does not get there.
    """
    sent = Parcel.objects.filter(service__retired=False).order_by("-pk")
    order = "packed__build__item__order__"
    to_them = sent.filter(**{f"{order}customer": to.customer_id})
    there = sent.filter(
        Q(**{f"{order}ship_country": to.country})
        | Q(**{f"{order}ship_country": "", f"{order}customer__country": to.country})
    )
    able = [row for row in services() if not why_not_there(row.mode, house().country, to.country)]
    for rows in (to_them, there):
        last = rows.filter(service__in=able).select_related("service").first()
        if last:
            return last.service
    return able[0] if len(able) == 1 else None


def worth(parcel: Parcel) -> Worth:
    """What a parcel is worth: as declared, else by what was agreed for what lies in it."""
    covered = parcel.service.covered_minor if parcel.service else None
    declared = parcel.declared_minor
    value = agreed_minor(parcel) if declared is None else declared
    return Worth(value, declared is None, parcel.insured_by, covered)


def agreed_minor(parcel: Parcel) -> int:
    """What was agreed for the jobs and goods in a parcel, in minor units."""
    builds = Build.objects.filter(packed__parcel=parcel, packed__taken_out_at=None)
    goods = PackedGoods.objects.filter(parcel=parcel, taken_out_at=None)
    inside = Q(build__in=builds) | Q(pk__in=goods.values("item"))
    return _shares(Item.objects.filter(inside))


def _shares(items: Iterable[Item]) -> int:
    """By the lines that were agreed; an order without such lines counts by its jobs alone."""
    rows = list(items)
    orders = {item.order_id for item in rows}
    money = standings(orders)
    parts = shares(money)
    jobs: dict[int, list[int]] = {}
    named = Item.objects.filter(order__in=orders)
    for pk, order, kind in named.values_list("pk", "order", "kind").order_by("pk"):
        if kind == ItemKind.JOB or pk in parts:
            jobs.setdefault(order, []).append(pk)
    for order, pks in jobs.items():
        if not parts.keys() & set(pks):
            each = (money[order].charged or 0) // len(pks)
            parts |= dict.fromkeys(pks, each)
    return sum(parts.get(item.pk, 0) for item in rows)
