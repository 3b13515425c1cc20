"""Keeps tracking numbers that were pasted, many at once, and tells the customers."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from builds.bench.actions.telling import Outcome, tell_all
from builds.bench.queries.telling import untold
from builds.dispatch.actions import Refused, add_tracking
from builds.dispatch.queries import parcels
from shop.diary.queries import calendar
from shop.house.models import House
from shop.people.models import User


@dataclass(frozen=True)
class Kept:
    """Which parcels have their number now, what was refused and why, and who was told."""

    parcels: list[int] = field(default_factory=list)
    refused: list[tuple[int, str, str]] = field(default_factory=list)
    outcome: Outcome = field(default_factory=Outcome)


def keep_numbers(
    numbers: Iterable[tuple[int, str]],
    *,
    carrier: str,
    tells: bool,
    shop: House,
    by: User,
    now: datetime,
) -> Kept:
    """Keep each parcel's number; with ``tells``, the customers of those that left hear of it.

    One that is refused holds up none of the others.
    """
    kept, refused = [], []
    for parcel_id, tracking in numbers:
        try:
            add_tracking(parcel_id, carrier=carrier, tracking=tracking, by=by, now=now)
        except Refused as error:
            refused.append((parcel_id, tracking, str(error)))
        else:
            kept.append(parcel_id)
    if not tells:
        return Kept(kept, refused)
    theirs = parcels().filter(pk__in=kept, left_at__isnull=False)
    news = untold(theirs, calendar(shop), now)
    return Kept(kept, refused, tell_all(news, shop=shop, by=by, now=now))
