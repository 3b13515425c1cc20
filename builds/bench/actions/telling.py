"""Tells many customers by one tap: each once, in the shop's own words for the occasion."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from builds.bench.actions.tell import Refused, tell
from builds.bench.queries.telling import Telling, text_of
from shop.house.models import House
from shop.people.models import User


@dataclass(frozen=True)
class Outcome:
    """Who was told, and who was not and why."""

    told: list[Telling] = field(default_factory=list)
    refused: list[tuple[Telling, str]] = field(default_factory=list)


def tell_all(tellings: Iterable[Telling], *, shop: House, by: User, now: datetime) -> Outcome:
    """Queue a message for each. The same news a second time queues nothing more.

    Each is a transaction of its own: one who has no mail address holds up nobody else.
    """
    outcome = Outcome()
    for one in tellings:
        try:
            tell(
                one.stand,
                token=one.token,
                occasion=one.occasion,
                text=text_of(one, shop),
                photos=(),
                share=False,
                by=by,
                now=now,
            )
        except Refused as error:
            outcome.refused.append((one, str(error)))
        else:
            outcome.told.append(one)
    return outcome
