"""Reads parcels."""

from collections.abc import Iterable
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Prefetch, Q, QuerySet

from builds.dispatch.models import Packed, PackedGoods, Parcel, Service
from builds.progress.models import Move, Tray
from builds.progress.states import State
from shop.diary.queries import Calendar
from shop.web.reading import each_once

_LOOKED_AT = 200  # of the newest parcels, for the carriers that were named


def parcels() -> QuerySet[Parcel]:
    """Parcels with the builds that lie in them."""
    inside = Packed.objects.filter(taken_out_at=None).select_related(
        "build__hilt", "build__item__order__customer", "build__tray"
    )
    found = Parcel.objects.filter(opened_at=None).select_related("box__level", "service")
    return found.prefetch_related(Prefetch("packed", queryset=inside, to_attr="inside"))


def day_of(parcel: Parcel, calendar: Calendar, now: datetime) -> date:
    """The day on which a parcel leaves: its own, or the next one where it missed the cut-off.

    So does one whose day was closed since. Derived on reading: nothing has to run for a parcel to
    be on the right list.
    """
    if parcel.left_at:
        return calendar.today(parcel.left_at)
    day = max(parcel.day, calendar.first_day(now))
    return calendar.on_or_after(day) or day  # "or": a shop without a dispatch day in a year


def to_leave(on_or_before: date) -> QuerySet[Parcel]:
    """Closed parcels that wait for a day or were left behind before it."""
    return parcels().filter(left_at=None, day__lte=on_or_before).order_by("day", "pk")


def left_on(day: date, zone: ZoneInfo) -> QuerySet[Parcel]:
    """Parcels that left on a day of the shop's or were closed for it, both lists name them."""
    first = datetime.combine(day, time.min, zone)
    following = datetime.combine(day + timedelta(days=1), time.min, zone)
    that_day = Q(left_at__gte=first, left_at__lt=following)
    return parcels().filter(that_day | Q(left_at__isnull=False, day=day)).order_by("pk")


def parcel_of(build_ids: Iterable[int]) -> dict[int, Parcel]:
    """Build id → the parcel that it lies in."""
    return each_once(parcel_of, _parcel_of, build_ids)


def _parcel_of(build_ids: list[int]) -> dict[int, Parcel]:
    packed = Packed.objects.filter(build__in=build_ids, taken_out_at=None)
    return {row.build_id: row.parcel for row in packed.select_related("parcel__service")}


def on_the_way(since: datetime) -> QuerySet[Parcel]:
    """Closed parcels that wait, and those that left since a moment."""
    here = Parcel.objects.filter(left_at=None, opened_at=None).values("pk")
    left = Parcel.objects.filter(left_at__gte=since).values("pk")
    # By their ids, so that the days of all parcels that ever left are not gone through.
    return parcels().filter(Q(pk__in=here) | Q(pk__in=left)).order_by("day", "pk")


def shares_a_parcel(order_id: int) -> bool:
    """Whether something of an order lies in a parcel, still here, with something of another."""
    here = Parcel.objects.filter(left_at=None, opened_at=None)
    own = here.filter(
        Q(packed__taken_out_at=None, packed__build__item__order=order_id)
        | Q(goods__taken_out_at=None, goods__item__order=order_id)
    ).values("pk")
    builds = Packed.objects.filter(parcel__in=own, taken_out_at=None)
    goods = PackedGoods.objects.filter(parcel__in=own, taken_out_at=None)
    return (
        builds.exclude(build__item__order=order_id).exists()
        or goods.exclude(item__order=order_id).exists()
    )


def is_packed(item_id: int) -> bool:
    """Whether goods lie in a parcel, or left in one."""
    return PackedGoods.objects.filter(item=item_id, taken_out_at=None).exists()


def carriers() -> list[str]:
    """Carriers that were named before, the newest first, each once."""
    named = Parcel.objects.exclude(carrier="").order_by("-pk").values_list("carrier", flat=True)
    return list(dict.fromkeys(named[:_LOOKED_AT]))[:6]


def trays_left(build_ids: Iterable[int]) -> dict[int, Tray]:
    """Build id → the tray that it stood in until it was sent."""
    sent = Move.objects.filter(
        build__in=list(build_ids), to_state=State.SENT, was_in_tray__isnull=False
    )
    return {
        row.build_id: row.was_in_tray  # type: ignore[misc]
        for row in sent.select_related("was_in_tray").order_by("pk")
    }


def has_sums() -> bool:
    """Whether a sum of a parcel or of a carrier's cover was noted, in the shop's currency."""
    parcels_told = Parcel.objects.exclude(declared_minor=None, customs_minor=None)
    return parcels_told.exists() or Service.objects.exclude(covered_minor=None).exists()
