"""All that the page of one parcel shows."""

from dataclasses import dataclass
from datetime import date, datetime

from builds.dispatch.models import Packed, Parcel
from builds.dispatch.queries.boxes import BoxSection, box_section
from builds.dispatch.queries.contents import Contents, contents
from builds.dispatch.queries.customs import Customs, customs_of
from builds.dispatch.queries.going import Due, parcel_dues
from builds.dispatch.queries.listed import PackingList, packing_list
from builds.dispatch.queries.parcels import day_of
from builds.dispatch.queries.progress import Progress, progress
from builds.dispatch.queries.things import Typed
from builds.dispatch.queries.travel import Travel, travel
from shop.diary.queries import Calendar
from shop.house.models import House


@dataclass(frozen=True)
class ParcelPage:
    """One parcel, in finished data."""

    parcel: Parcel
    inside: list[Packed]
    day: date
    contents: Contents
    box: BoxSection
    travel: Travel
    listed: PackingList
    customs: Customs | None
    dues: list[Due]
    progress: Progress
    is_ahead: bool = False  # its day has not come yet

    @property
    def is_open(self) -> bool:
        """Whether anything of it may still change."""
        return self.parcel.left_at is None and self.parcel.opened_at is None

    @property
    def wants(self) -> str:
        """What is next of box, weight and service; its button alone stands out."""
        if self.box.smallest and not self.box.chosen and self.parcel.gross_g is None:
            return "box"
        if self.box.weight.is_estimate:
            return "weight"
        return "" if self.travel.service else "service"


def parcel_page(
    parcel: Parcel, calendar: Calendar, now: datetime, house: House, typed: Typed
) -> ParcelPage:
    """The page of a parcel, as it stands.

    :param typed: sizes of hilts and blades that nobody measured, as typed on the page.
    """
    inside: list[Packed] = parcel.inside  # type: ignore[attr-defined]
    found = contents(parcel)
    box = box_section(parcel, found, house, typed)
    listed, customs, dues = packing_list(parcel), customs_of(parcel, house), parcel_dues(parcel)
    return ParcelPage(
        parcel=parcel,
        inside=inside,
        day=day_of(parcel, calendar, now),
        contents=found,
        box=box,
        travel=travel(parcel, box.weight),
        listed=listed,
        customs=customs,
        dues=dues,
        progress=progress(parcel, len(inside), listed, customs, dues),
        is_ahead=parcel.day > calendar.today(now),
    )
