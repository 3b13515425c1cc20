"""All that the page of one parcel shows."""

from dataclasses import dataclass
from datetime import date, datetime

from builds.dispatch.models import Packed, Parcel
from builds.dispatch.queries.boxes import BoxSection, box_section
from builds.dispatch.queries.class_section import (
    ClassSection,
    Stow,
    class_section,
    stowed_words,
    stows,
)
from builds.dispatch.queries.contents import Contents, contents
from builds.dispatch.queries.customs import Customs, customs_of
from builds.dispatch.queries.going import Due, parcel_dues
from builds.dispatch.queries.listed import PackingList, packing_list
from builds.dispatch.queries.marks import Side, side_for
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
    cells: list[Stow]
    section: ClassSection | None  # None: it left, and what was said of it then is kept
    contents: Contents
    box: BoxSection
    travel: Travel
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
    day = day_of(parcel, calendar, now)
    section = None if parcel.left_at else class_section(parcel, day)
    found = contents(parcel)
    box = box_section(parcel, found, house, typed)
    listed = packing_list(parcel, section.classing if section else None)
    customs, dues = customs_of(parcel, house), parcel_dues(parcel)
    return ParcelPage(
        parcel=parcel,
        inside=inside,
        day=day,
        cells=stows(section) if section else [],
        section=section,
        contents=found,
        box=box,
        travel=travel(parcel, box.weight),
        listed=listed,
        customs=customs,
        dues=dues,
        progress=progress(
            parcel, len(inside), listed, customs, dues, section.classing if section else None
        ),
        is_ahead=parcel.day > calendar.today(now),
    )
