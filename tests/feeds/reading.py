"""Reads a feed as a calendar program does, and holds its bytes against RFC 5545."""

import re
from datetime import date, datetime
from typing import Any

import icalendar
from django.test import Client

from builds.feeds.models import Feed
from builds.feeds.queries.addresses import address_of

LINE_OCTETS = 75  # RFC 5545, 3.1
# What an event must or may have, and how often: RFC 5545, 3.6.1.
ONCE = {"UID", "DTSTAMP", "DTSTART"}
AT_MOST_ONCE = {
    "CLASS", "CREATED", "DESCRIPTION", "DTEND", "GEO", "LAST-MODIFIED", "LOCATION", "ORGANIZER",
    "PRIORITY", "RECURRENCE-ID", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP", "URL",
}  # fmt: skip
OFTEN = {"CATEGORIES"}
# Of the calendar: RFC 5545, 3.6, and RFC 7986, 4.
OF_THE_WHOLE = {"PRODID", "VERSION"}
MAY_OF_THE_WHOLE = {"CALSCALE", "METHOD", "NAME", "LAST-MODIFIED", "REFRESH-INTERVAL"}
_NAME = re.compile(r"[A-Z0-9-]+")
_STAMP = re.compile(r"\d{8}T\d{6}Z")


class Clock:
    """The moment that a view is told, until somebody sets it."""

    def __init__(self, moment: datetime) -> None:
        self.moment = moment

    def __call__(self) -> datetime:
        return self.moment


def path_of(feed: Feed) -> str:
    """The path by which a feed is read."""
    return address_of(feed, "")


def body(client: Client, feed: Feed) -> bytes:
    """What a calendar gets."""
    answer = client.get(path_of(feed))
    assert answer.status_code == 200
    return answer.content


def events_of(text: bytes) -> dict[str, icalendar.Event]:
    """The events by their summary, read by a library of another hand than the writing code."""
    found = icalendar.Calendar.from_ical(text)
    assert isinstance(found, icalendar.Calendar)
    assert found.errors == []
    return {str(event["summary"]): event for event in found.events}


def starts(text: bytes) -> dict[str, date | datetime]:
    """Summary → day, or moment, that an event begins."""
    return {summary: event.start for summary, event in events_of(text).items()}


def lines_of(text: bytes) -> list[str]:
    """Unfolded lines, read by hand; every fault of the folding is one of the text."""
    assert text.endswith(b"\r\n")
    physical = text.removesuffix(b"\r\n").split(b"\r\n")
    for line in physical:
        assert line
        assert len(line) <= LINE_OCTETS, line
        assert b"\r" not in line
        assert b"\n" not in line
        line.decode("utf-8")  # no letter is cut in two
    return text.decode().removesuffix("\r\n").replace("\r\n ", "").split("\r\n")


def components_of(text: bytes) -> tuple[dict[str, str], list[dict[str, str]]]:
    """Properties of the calendar and of each event; each name stands once in each."""
    whole: dict[str, str] = {}
    events: list[dict[str, str]] = []
    here: list[dict[str, str]] = [whole]
    lines = lines_of(text)
    assert (lines[0], lines[-1]) == ("BEGIN:VCALENDAR", "END:VCALENDAR")
    for line in lines[1:-1]:
        if line == "BEGIN:VEVENT":
            events.append({})
            here.append(events[-1])
        elif line == "END:VEVENT":
            here.pop()
        else:
            _put(here[-1], line)
    assert here == [whole]
    return whole, events


def _put(component: dict[str, str], line: str) -> None:
    head, colon, value = line.partition(":")
    name = head.partition(";")[0]
    assert colon
    assert _NAME.fullmatch(name), line
    assert name not in component, line
    assert not re.search(r"[\x00-\x08\x0a-\x1f\x7f]", value), line
    component[name] = f"{head.partition(';')[2]}:{value}" if ";" in head else value


def hold_to_the_rules(text: bytes) -> list[dict[str, str]]:
    """Hold a feed against RFC 5545 and RFC 7986; hands back its events."""
    whole, events = components_of(text)
    own = {name for name in whole if not name.startswith("X-")}
    assert own >= OF_THE_WHOLE
    assert own <= OF_THE_WHOLE | MAY_OF_THE_WHOLE
    assert whole["VERSION"] == "2.0"
    assert whole["METHOD"] == "PUBLISH"
    assert whole["PRODID"].startswith("-//Hiltyard//")
    assert whole["REFRESH-INTERVAL"] == "VALUE=DURATION:PT1H"
    for event in events:
        _hold_event(event)
    assert len({event["UID"] for event in events}) == len(events)
    return events


def _hold_event(event: dict[str, str]) -> None:
    assert event.keys() >= ONCE, event
    assert event.keys() <= ONCE | AT_MOST_ONCE | OFTEN
    assert _STAMP.fullmatch(event["DTSTAMP"])
    assert _STAMP.fullmatch(event["LAST-MODIFIED"])
    assert event["SEQUENCE"].isdigit()
    assert event["TRANSP"] == "TRANSPARENT"
    first, end = event["DTSTART"], event["DTEND"]
    assert first < end
    kind = r"VALUE=DATE:\d{8}" if first.startswith("VALUE=DATE:") else _STAMP.pattern
    assert re.fullmatch(kind, first)
    assert re.fullmatch(kind, end)
    for name in ("SUMMARY", "DESCRIPTION"):
        assert not re.search(r"(?<!\\)(?:\\\\)*[,;]", event.get(name, "")), event[name]


def facts_of(event: icalendar.Event) -> dict[str, Any]:
    """What tells one telling of an event from the next."""
    return {
        "uid": str(event["uid"]),
        "sequence": int(event["sequence"]),
        "stamp": event.DTSTAMP,
        "modified": event.last_modified,
    }
