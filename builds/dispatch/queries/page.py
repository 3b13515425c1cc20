"""All that the page of one parcel shows."""

from dataclasses import dataclass
from datetime import date, datetime

from builds.dispatch.models import Packed, Parcel
from builds.dispatch.queries.listed import PackingList, packing_list
from builds.dispatch.queries.parcels import day_of
from builds.dispatch.queries.progress import Progress, progress
from shop.diary.queries import Calendar


@dataclass(frozen=True)
class ParcelPage:
    """One parcel, in finished data."""

    parcel: Parcel
    inside: list[Packed]
    day: date
    listed: PackingList
    progress: Progress
    is_ahead: bool = False  # its day has not come yet

    @property
    def is_open(self) -> bool:
        """Whether anything of it may still change."""
        return self.parcel.left_at is None and self.parcel.opened_at is None


def parcel_page(parcel: Parcel, calendar: Calendar, now: datetime) -> ParcelPage:
    """The page of a parcel, as it stands."""
    inside: list[Packed] = parcel.inside  # type: ignore[attr-defined]
    listed = packing_list(parcel)
    return ParcelPage(
        parcel,
        inside,
        day_of(parcel, calendar, now),
        listed=listed,
        progress=progress(parcel, len(inside), listed),
        is_ahead=parcel.day > calendar.today(now),
    )
