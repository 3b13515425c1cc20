"""All that the page of one return shows, in finished data."""

from dataclasses import dataclass
from datetime import datetime

from builds.handover.models import Return, ReturnPhoto, Warranty
from builds.handover.queries.returns import (
    HEARD,
    is_to_come,
    owner_of,
    photos_of,
    said_about,
)
from builds.handover.queries.warranty import longest
from builds.handover.words import CARRIAGE, HARMED, VERDICTS
from shop.clock import day_in
from shop.history.queries import Line, entries_about
from shop.house.models import House
from shop.people.models import Customer
from shop.post.models import Message, Occasion
from shop.post.queries import mail_goes_nowhere


@dataclass(frozen=True)
class ReturnPage:
    """One return."""

    found: Return
    owner: Customer
    photos: list[ReturnPhoto]
    warranty: Warranty | None  # the one that runs longest, of all work on it
    is_in_warranty: bool  # on the day that it was announced
    caution: str  # while a harmed cell is not in the shop
    decision: str
    carriage: str
    messages: list[Message]
    goes_nowhere: bool  # no mail server is set: what was mailed was laid down as a file
    history: list[Line]

    @property
    def is_told(self) -> bool:
        """Whether the customer knows what was decided last."""
        since = self.found.decided_at
        decided = (m for m in self.messages if m.occasion == Occasion.RETURN_DECIDED)
        told = (m for m in decided if m.state in HEARD)
        return since is not None and any(m.made_at >= since for m in told)


def return_page(found: Return, shop: House, now: datetime) -> ReturnPage:
    """The page of a return as it stands."""
    day = day_in(shop.zone, found.announced_at)
    promised = longest(found, day)
    return ReturnPage(
        found=found,
        owner=owner_of(found),
        photos=photos_of(found),
        warranty=promised,
        is_in_warranty=promised is not None and day <= promised.last_day,
        caution=str(HARMED) if found.is_harmed and is_to_come(found) else "",
        decision=str(VERDICTS.get(found.covered, "")),
        carriage=str(CARRIAGE.get(found.pays, "")),
        messages=said_about(found),
        goes_nowhere=mail_goes_nowhere(),
        history=entries_about(found.about),
    )
