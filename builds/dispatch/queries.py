"""Reads parcels."""

from collections.abc import Iterable
from datetime import date

from django.db.models import Prefetch, QuerySet

from builds.dispatch.models import Packed, Parcel


def parcels() -> QuerySet[Parcel]:
    """Parcels with the builds that lie in them."""
    inside = Packed.objects.filter(taken_out_at=None).select_related(
        "build__hilt", "build__item__order__customer", "build__tray"
    )
    return Parcel.objects.filter(opened_at=None).prefetch_related(
        Prefetch("packed", queryset=inside, to_attr="inside")
    )


def to_leave(on_or_before: date) -> QuerySet[Parcel]:
    """Closed parcels that wait for a day or were left behind before it."""
    return parcels().filter(left_at=None, day__lte=on_or_before).order_by("day", "pk")


def left_on(day: date) -> QuerySet[Parcel]:
    """Parcels of a day that have left."""
    return parcels().filter(left_at__isnull=False, day=day).order_by("pk")


def parcel_of(build_ids: Iterable[int]) -> dict[int, Parcel]:
    """Build id → the parcel that it lies in."""
    packed = Packed.objects.filter(build__in=list(build_ids), taken_out_at=None)
    return {row.build_id: row.parcel for row in packed.select_related("parcel")}
