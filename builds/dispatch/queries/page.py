"""All that the page of one parcel shows."""

from dataclasses import dataclass
from datetime import date, datetime

from builds.dispatch.models import Packed, Parcel
from builds.dispatch.queries.customs import Customs, customs_of
from builds.dispatch.queries.going import Due, parcel_dues
from builds.dispatch.queries.listed import PackingList, packing_list
from builds.dispatch.queries.parcels import day_of
from builds.dispatch.queries.progress import Progress, progress
from shop.diary.queries import Calendar
from shop.house.queries import house


@dataclass(frozen=True)
class ParcelPage:
    """One parcel, in finished data."""

    parcel: Parcel
    inside: list[Packed]
    day: date
    listed: PackingList
    customs: Customs | None
    dues: list[Due]
    progress: Progress
    is_ahead: bool = False  # its day has not come yet

    @property
    def is_open(self) -> bool:
        """Whether anything of it may still change."""
        return self.parcel.left_at is None and self.parcel.opened_at is None


def parcel_page(parcel: Parcel, calendar: Calendar, now: datetime) -> ParcelPage:
    """The page of a parcel, as it stands."""
    inside: list[Packed] = parcel.inside  # type: ignore[attr-defined]
    listed, customs, dues = packing_list(parcel), customs_of(parcel, house()), parcel_dues(parcel)
    return ParcelPage(
        parcel,
        inside,
        day_of(parcel, calendar, now),
        listed=listed,
        customs=customs,
        dues=dues,
        progress=progress(parcel, len(inside), listed, customs, dues),
        is_ahead=parcel.day > calendar.today(now),
    )
