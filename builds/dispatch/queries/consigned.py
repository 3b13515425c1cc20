"""A consignment: what goes to one consignee on one day, however many packages that is."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import Q

from builds.dispatch.models import Packed, Parcel
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.orders.models import Consignee


def consignees(parcel_ids: Sequence[int]) -> dict[int, Consignee]:
    """Parcel id → whom it goes to, by the first build in it."""
    rows = Packed.objects.filter(parcel__in=parcel_ids, taken_out_at=None)
    found: dict[int, Consignee] = {}
    for row in rows.select_related("build__item__order__customer").order_by("pk"):
        found.setdefault(row.parcel_id, row.build.item.order.consignee)
    return found


def packages_of(parcels: Sequence[Parcel], days: Mapping[int, date]) -> dict[int, int]:
    """Parcel id → how many packages its consignment has on the day that it leaves.

    What was left behind before that day is counted along: the more packages, the more is asked.
    """
    diary = calendar(house())
    others = _near(days, diary.zone) if days else []
    whose = consignees([parcel.pk for parcel in (*others, *parcels)])
    found = {}
    for parcel in parcels:
        day, key = days[parcel.pk], _key(whose, parcel.pk)
        together = {
            other.pk
            for other in others
            if _key(whose, other.pk) == key
            and (diary.today(other.left_at) == day if other.left_at else other.day <= day)
        }
        found[parcel.pk] = len(together | {parcel.pk})
    return found


def _near(days: Mapping[int, date], zone: ZoneInfo) -> list[Parcel]:
    first, last = min(days.values()), max(days.values())
    since = datetime.combine(first, time.min, zone)
    until = datetime.combine(last + timedelta(days=1), time.min, zone)
    near = Q(left_at=None, day__lte=last) | Q(left_at__gte=since, left_at__lt=until)
    return list(Parcel.objects.filter(near, opened_at=None).order_by("pk"))


def _key(whose: Mapping[int, Consignee], parcel_id: int) -> tuple[str, ...]:
    known = whose.get(parcel_id)
    if known is None:
        return ("parcel", str(parcel_id))
    # Two customers at one door are one consignee; without an address each is their own.
    return (known.key,) if known.address.strip() else ("customer", str(known.customer_id))


def label_lines(to: Consignee) -> list[str]:
    """Name and address as they stand on the label."""
    lines = (to.full_name, *to.address.splitlines(), to.country)
    return [line.strip() for line in lines if line.strip()]
