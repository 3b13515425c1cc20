"""The text of a feed: whatever it says, it holds to RFC 5545 and reads back the same."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import icalendar
import pytest

from builds.feeds.feed_text import feed_text
from builds.feeds.values import Event, Told
from tests.feeds.reading import hold_to_the_rules, lines_of

SINCE = datetime(2026, 11, 25, 10, 40, tzinfo=UTC)
SHOP = UUID(int=7)


def written(summary: str, description: str = "", name: str = "Larkhill") -> bytes:
    """A feed with one event."""
    day = date(2026, 11, 27)
    event = Event("promise:1", summary, day, day + timedelta(days=1), "Promise", description)
    return feed_text(name, [Told(event, 0, SINCE)], SINCE, SHOP)


def read_back(text: bytes) -> tuple[str, str]:
    """Summary and description as a reader has them."""
    found = icalendar.Calendar.from_ical(text)
    assert isinstance(found, icalendar.Calendar)
    (event,) = found.events
    return str(event["summary"]), str(event.get("description", ""))


@pytest.mark.parametrize(
    "said",
    [
        "Heron, the elder; “of two”: promised",
        "a\nb",
        "Ørn " * 40,
        "鷺" * 60,
        "🗡️" * 40,
        "x" * 500,
        " leading and trailing ",
        "BEGIN:VEVENT",
        "a:b;c=d,e",
        "tab\there",
        "\u0301combining" * 20,
    ],
)
def test_text_reads_back_as_it_was(said: str) -> None:
    text = written(said, said)
    hold_to_the_rules(text)
    assert read_back(text) == (said, said)


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n", "\u2028", "\u2029", "\x85", "\x0b", "\x0c"])
def test_no_line_can_be_slipped_in(end: str) -> None:
    said = f"Heron{end}END:VEVENT{end}BEGIN:VEVENT{end}UID:mine{end}ATTACH:http://192.0.2.9/"
    text = written(said, said, name=said)
    (event,) = hold_to_the_rules(text)
    assert event["UID"] != "mine"
    assert not [line for line in lines_of(text) if line.startswith("ATTACH")]
    assert len(text.splitlines()) == len(text.split(b"\r\n")) - 1
    assert len(text.decode().splitlines()) == len(text.split(b"\r\n")) - 1


def test_control_characters_are_left_out() -> None:
    text = written("He\x00r\x1bo\x7fn")
    hold_to_the_rules(text)
    assert read_back(text)[0] == "He r o n"


@pytest.mark.parametrize("said", [r"C:\New", "a\\", r"\\n", r"\, \;"])
def test_backslash_becomes_a_slash(said: str) -> None:
    text = written(said)
    hold_to_the_rules(text)
    assert read_back(text)[0] == said.replace("\\", "/")


def test_feed_has_a_name_by_which_programs_list_it() -> None:
    lines = lines_of(written("a", name="Lark, Hill; & Søn"))
    assert r"NAME:Lark\, Hill\; & Søn" in lines
    assert r"X-WR-CALNAME:Lark\, Hill\; & Søn" in lines


def test_another_shops_events_have_other_names() -> None:
    day = date(2026, 11, 27)
    told = [Told(Event("promise:1", "a", day, day + timedelta(days=1), "Promise"), 0, SINCE)]
    ours, theirs = (
        hold_to_the_rules(feed_text("a", told, SINCE, UUID(int=shop)))[0]["UID"] for shop in (1, 2)
    )
    assert ours != theirs
    assert UUID(ours).version == 5


def test_empty_feed_is_a_calendar_without_events() -> None:
    assert hold_to_the_rules(feed_text("Larkhill", [], SINCE, SHOP)) == []
