"""All that the page of one parcel shows."""

from dataclasses import dataclass
from datetime import date, datetime

from builds.dispatch.models import Packed, Parcel
from builds.dispatch.queries.parcels import day_of
from shop.diary.queries import Calendar


@dataclass(frozen=True)
class ParcelPage:
    """One parcel, in finished data."""

    parcel: Parcel
    inside: list[Packed]
    day: date

    @property
    def is_open(self) -> bool:
        """Whether anything of it may still change."""
        return self.parcel.left_at is None and self.parcel.opened_at is None


def parcel_page(parcel: Parcel, calendar: Calendar, now: datetime) -> ParcelPage:
    """The page of a parcel, as it stands."""
    inside: list[Packed] = parcel.inside  # type: ignore[attr-defined]
    return ParcelPage(parcel, inside, day_of(parcel, calendar, now))
