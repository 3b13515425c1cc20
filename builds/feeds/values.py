"""An event of the feed as a frozen value."""

from dataclasses import astuple, dataclass
from datetime import date, datetime
from hashlib import sha256


@dataclass(frozen=True)
class Event:
    """What a calendar shows. The end is the first day, or the moment, that is not in it."""

    key: str
    summary: str
    first: date | datetime
    end: date | datetime
    category: str
    description: str = ""
    url: str = ""

    @property
    def mark(self) -> str:
        """Another one as soon as anything else is told of the event."""
        return sha256(repr([str(value) for value in astuple(self)]).encode()).hexdigest()


@dataclass(frozen=True)
class Told:
    """An event as it is told now: since when, and how often it was told before."""

    event: Event
    sequence: int
    since: datetime
