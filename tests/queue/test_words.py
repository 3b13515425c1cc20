"""What odds, days and causes are called."""

from datetime import date

import pytest

from builds.queue.queries.words import day_words, drive_words, in_ten, percent_words, range_words

MON, FRI = date(2026, 11, 30), date(2026, 12, 4)


@pytest.mark.parametrize(
    ("odds", "said"),
    [
        (0.0, "1 %"),
        (0.009, "1 %"),
        (0.01, "1 %"),
        (0.804, "80 %"),
        (0.99, "99 %"),
        (0.996, "99 %"),
        (1.0, "99 %"),
    ],
)
def test_odds_are_never_all_nor_nothing(odds: float, said: str) -> None:
    assert percent_words(odds).replace("\xa0", " ") == said


@pytest.mark.parametrize(
    ("odds", "said"),
    [
        (0.05, "less than 1 in 10"),
        (0.1, "about 1 in 10"),
        (0.3, "about 3 in 10"),  # though 0.3 * 10 is a little less than 3
        (0.79, "about 7 in 10"),
        (0.949, "about 9 in 10"),
        (0.95, "almost certain"),
    ],
)
def test_tenths_are_rounded_down(odds: float, said: str) -> None:
    assert in_ten(odds).replace("\xa0", " ") == said


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (MON, FRI, "Mon 30 Nov to Fri 4 Dec"),
        (MON, MON, "Mon 30 Nov"),
        (MON, None, "from Mon 30 Nov on"),
        (None, None, "in over two years"),
    ],
)
def test_range_of_one_day_is_that_day(first: date | None, last: date | None, said: str) -> None:
    assert range_words(first, last).replace("\xa0", " ") == said


def test_day_out_of_sight_is_said_to_be() -> None:
    assert day_words(None) == "in over two years"
    assert day_words(FRI).replace("\xa0", " ") == "Fri 4 Dec"


@pytest.mark.parametrize(
    ("drives", "hours", "said"),
    [
        ("parts", 11.9, ""),  # not half a day
        ("parts", 13.0, "waits for parts, about 1 day"),
        ("answer", 60.5, "waits for the customer's answer, about 3 days"),
        ("hands", 240.0, "waits for hands, about 10 days"),
        ("", 240.0, ""),
    ],
)
def test_what_drives_a_day_is_said_from_a_day_on(drives: str, hours: float, said: str) -> None:
    assert drive_words(drives, {drives: hours, "carrier": 900.0}) == said


def test_what_it_does_not_wait_for_drives_nothing() -> None:
    assert drive_words("parts", {"hands": 99.0}) == ""
