"""Moments of a film as typed and shown, and chapters as WebVTT by the W3C's own grammar."""

import re

import pytest

from builds.handover.queries.times import clock, length, typed_ms
from builds.handover.queries.webvtt import webvtt

# WebVTT, section 4.1, "WebVTT file body" and "WebVTT chapter title text", as far as a writer needs.
_STAMP = r"(?:[0-9]{2,}:)?[0-5][0-9]:[0-5][0-9]\.[0-9]{3}"
_TEXT = r"(?:[^\n\r&<>\0]|&amp;|&lt;|&gt;)+"
_CUE = re.compile(rf"(?:(?!.*-->)[^\n\r]+\n)?({_STAMP}) --> ({_STAMP})\n({_TEXT})\n")


def parsed(text: str) -> list[tuple[int, int, str]]:
    """The cues of a WebVTT file: begin, end, text with its escapes undone; refuses any other."""
    blocks = text.rstrip("\n").split("\n\n")
    assert blocks[0] == "WEBVTT"
    cues = []
    for block in blocks[1:]:
        found = _CUE.fullmatch(block.rstrip("\n") + "\n")
        assert found, block
        words = found[3].replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
        cues.append((_ms(found[1]), _ms(found[2]), words))
    return cues


def _ms(stamp: str) -> int:
    hours, minutes, seconds = stamp.split(":")
    return (int(hours) * 60 + int(minutes)) * 60_000 + round(float(seconds) * 1000)


@pytest.mark.parametrize(
    ("typed", "ms"),
    [
        ("0", 0), ("65", 65_000), ("1:05", 65_000), ("1:5", 65_000), ("01:05.5", 65_500),
        ("1:05,25", 65_250), ("1:02:03", 3_723_000), ("90:00", 5_400_000), (" 2:00 ", 120_000),
        ("7.125", 7_125),
    ],
)  # fmt: skip
def test_moment_as_typed(typed: str, ms: int) -> None:
    assert typed_ms(typed) == ms


@pytest.mark.parametrize(
    "typed", ["", "x", "1:60", "-1", "1:05:", "1:2:3:4", "٣", "1e3", "1:05.1234"]
)
def test_what_is_no_moment(typed: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(typed)}$"):
        typed_ms(typed)


@pytest.mark.parametrize("ms", [0, 1, 500, 65_000, 65_250, 3_599_999, 3_600_000, 86_400_000])
def test_what_is_shown_is_what_is_typed(ms: int) -> None:
    assert typed_ms(clock(ms)) == ms


def test_length_in_whole_seconds() -> None:
    assert [length(24.04), length(59.6), length(3_661)] == ["0:24", "1:00", "1:01:01"]


def test_each_chapter_ends_where_the_next_begins() -> None:
    cues = parsed(webvtt([(0, "Ember"), (4_000, "Switch on"), (3_605_250, "Goodbye")], 3_700.0))
    assert cues == [
        (0, 4_000, "Ember"),
        (4_000, 3_605_250, "Switch on"),
        (3_605_250, 3_700_000, "Goodbye"),
    ]


def test_last_chapter_of_a_film_of_unknown_length_has_an_end() -> None:
    assert parsed(webvtt([(5_000, "Goodbye")])) == [(5_000, 3_605_000, "Goodbye")]


def test_chapter_beyond_the_end_of_the_film_still_has_one() -> None:
    assert parsed(webvtt([(5_000, "Goodbye")], 4.0)) == [(5_000, 6_000, "Goodbye")]


def test_no_chapter_is_a_file_as_well() -> None:
    assert parsed(webvtt([])) == []


@pytest.mark.parametrize(
    "title",
    [
        "<b>bold</b> & <00:01.000>", "00:01.000 --> 00:02.000", "&amp; &lt;", "a\n\n1\n00:00 --> x",
        "NOTE this", "STYLE", "WEBVTT", "\0", "  ", "–>", "‮ right", "x" * 120,
    ],
)  # fmt: skip
def test_no_title_becomes_markup_or_a_cue(title: str) -> None:
    cues = parsed(webvtt([(0, title), (1_000, "next")], 2.0))
    assert [cue[:2] for cue in cues] == [(0, 1_000), (1_000, 2_000)]
    plain = " ".join(title.replace("\0", " ").split())
    assert cues[0][2] == (plain or "…")
