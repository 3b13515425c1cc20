"""All that the page of one parcel shows."""

from dataclasses import dataclass
from datetime import date, datetime

from builds.dispatch.models import Packed, Parcel
from builds.dispatch.queries.class_section import (
    ClassSection,
    Stow,
    class_section,
    stowed_words,
    stows,
)
from builds.dispatch.queries.customs import Customs, customs_of
from builds.dispatch.queries.going import Due, parcel_dues
from builds.dispatch.queries.listed import PackingList, packing_list
from builds.dispatch.queries.marks import Side, side_for
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
    cells: list[Stow]
    section: ClassSection | None  # None: it left, and what was said of it then is kept
    listed: PackingList
    customs: Customs | None
    dues: list[Due]
    progress: Progress
    is_ahead: bool = False  # its day has not come yet

    @property
    def mark_side(self) -> str:
        """The size of the mark that suits the package."""
        return side_for(self.parcel)

    @property
    def other_side(self) -> str:
        """The other size."""
        return Side.FULL if self.mark_side == Side.SMALL else Side.SMALL

    @property
    def left_cells(self) -> list[dict[str, str]]:
        """How each cell travelled, of a parcel that left."""
        kept = (self.parcel.classed or {}).get("cells", [])
        return [{"of": cell["of"], "words": stowed_words(cell)} for cell in kept]

    @property
    def is_open(self) -> bool:
        """Whether anything of it may still change."""
        return self.parcel.left_at is None and self.parcel.opened_at is None


def parcel_page(parcel: Parcel, calendar: Calendar, now: datetime) -> ParcelPage:
    """The page of a parcel, as it stands."""
    inside: list[Packed] = parcel.inside  # type: ignore[attr-defined]
    day, shop = day_of(parcel, calendar, now), house()
    section = None if parcel.left_at else class_section(parcel, day)
    listed = packing_list(parcel, section.classing if section else None)
    customs, dues = customs_of(parcel, shop), parcel_dues(parcel)
    return ParcelPage(
        parcel,
        inside,
        day,
        cells=stows(section) if section else [],
        section=section,
        listed=listed,
        customs=customs,
        dues=dues,
        progress=progress(
            parcel, len(inside), listed, customs, dues, section.classing if section else None
        ),
        is_ahead=parcel.day > calendar.today(now),
    )
