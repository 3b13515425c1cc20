"""The feed as text (RFC 5545, RFC 7986). The same events are the same bytes."""

import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from uuid import UUID, uuid5

import icalendar

from builds.feeds.values import Told

PRODUCT = "-//Hiltyard//Promises and dispatch days//EN"
READ_AGAIN = timedelta(hours=1)
# What a text must not hold (RFC 5545, 3.1), and what some readers take for the end of a line.
_NO_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f\x85\u2028\u2029]")
_LINE_ENDS = re.compile("\r\n?")


def feed_text(name: str, told: Sequence[Told], since: datetime, shop: UUID) -> bytes:
    """The whole feed.

    :param since: when anything in it changed last.
    :param shop: tells this shop's events from those of any other.
    """
    feed = icalendar.Calendar()
    feed.add("prodid", PRODUCT)
    feed.add("version", "2.0")
    feed.add("calscale", "GREGORIAN")
    feed.add("method", "PUBLISH")
    feed.add("name", _named(name))
    feed.add("x-wr-calname", _named(name))  # many programs read no other name
    feed.add("last-modified", since)
    feed.add("refresh-interval", READ_AGAIN, parameters={"VALUE": "DURATION"})
    for each in told:
        feed.add_component(_event(each, shop))
    text: bytes = feed.to_ical()
    return text


def plain(text: str) -> str:
    """A text that every reader takes for the same.

    Readers disagree about a backslash before a letter, so a slash stands for it.
    """
    return _NO_TEXT.sub(" ", _LINE_ENDS.sub("\n", text)).replace("\\", "/")


def _named(name: str) -> icalendar.vText:
    # The library escapes what it knows to be text; this property is younger than that.
    return icalendar.vText(plain(name))


def _event(told: Told, shop: UUID) -> icalendar.Event:
    event = told.event
    made = icalendar.Event()
    made.add("uid", str(uuid5(shop, event.key)))
    made.add("dtstamp", told.since)
    made.add("last-modified", told.since)
    made.add("sequence", told.sequence)
    made.add("dtstart", event.first)
    made.add("dtend", event.end)
    made.add("summary", plain(event.summary))
    if event.description:
        made.add("description", plain(event.description))
    if event.url:
        made.add("url", event.url)
    made.add("categories", [plain(event.category)])
    made.add("class", "PRIVATE")
    made.add("transp", "TRANSPARENT")  # nobody is busy because something is due
    return made
