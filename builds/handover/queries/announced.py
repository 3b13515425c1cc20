"""A return as the hilt's owner sees it on the page of the hilt."""

from dataclasses import dataclass
from datetime import datetime

from builds.handover.models import Return
from builds.handover.queries.returns import is_to_come, returns
from builds.handover.words import CARRIAGE, VERDICTS, battery
from builds.hilts.models import Hilt
from builds.progress.states import STAGES
from shop.house.models import House
from shop.post.queries import links_to, url_of


@dataclass(frozen=True)
class Announced:
    """A return that is not over: its number, what to do, what was decided."""

    number: str
    at: datetime
    words: str
    is_harmed: bool
    battery: str  # what to do with it, before anything is posted
    address: list[str]
    decision: str
    because: str
    carriage: str
    is_booked: bool
    is_to_come: bool  # not in the shop yet
    order_url: str | None

    @property
    def is_kept_away(self) -> bool:
        """Whether its cell is harmed and it is still with its owner: nothing is posted."""
        return self.is_to_come and self.is_harmed

    @property
    def is_posted(self) -> bool:
        """Whether the owner is asked to post it, and told where to."""
        return self.is_to_come and not self.is_harmed and bool(self.address)


def announced(hilt: Hilt, shop: House) -> Announced | None:
    """The return of a hilt that is not over; None where there is none."""
    of_hilt = returns().filter(build__hilt=hilt, build__item__order__customer=hilt.customer_id)
    newest = of_hilt.filter(ended_at=None).first()
    if newest is None or not (newest.is_open or _in_work(newest)):
        return None
    lines = [shop.name, *shop.address.splitlines()] if shop.address else []
    return Announced(
        number=str(newest),
        at=newest.announced_at,
        words=newest.words,
        is_harmed=newest.is_harmed,
        battery=battery(newest.cell),
        address=[] if newest.is_harmed else lines,
        decision=str(VERDICTS.get(newest.covered, "")),
        because=newest.because,
        carriage=str(CARRIAGE.get(newest.pays, "")),
        is_booked=newest.became is not None,
        is_to_come=is_to_come(newest),
        order_url=_order_url(newest, shop),
    )


def _in_work(found: Return) -> bool:
    return found.became is not None and found.became.state in STAGES


def _order_url(found: Return, shop: House) -> str | None:
    if found.became is None:
        return None
    about = f"order:{found.became.item.order_id}"
    return url_of(links_to([about]).get(about), shop)
