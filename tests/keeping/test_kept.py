"""Which back-ups are kept: seven days, four weeks, twelve months."""

from datetime import datetime, timedelta

import pytest

from shop.keeping.kept import made_of, name_for, to_keep

FIRST = datetime(2024, 1, 1, 3, 0, 0)
LATER = FIRST + timedelta(days=2000)


def _nights(count: int, first: datetime = FIRST) -> list[str]:
    return [name_for(first + timedelta(days=day), False) for day in range(count)]


def _after(count: int) -> list[datetime]:
    """What is left after so many nights, thinned out each night."""
    there: set[str] = set()
    for name in _nights(count):
        there = to_keep({*there, name}, LATER)
    return sorted((made for name in there if (made := made_of(name))), reverse=True)


def test_a_young_shop_keeps_all() -> None:
    assert to_keep(_nights(7), LATER) == set(_nights(7))


def test_after_two_years_there_are_days_weeks_and_months() -> None:
    left = _after(730)
    newest = FIRST + timedelta(days=729)
    assert left[:7] == [newest - timedelta(days=day) for day in range(7)]
    weeks = {made.isocalendar()[:2] for made in left}
    assert {(newest - timedelta(weeks=week)).isocalendar()[:2] for week in range(4)} <= weeks
    assert len({(made.year, made.month) for made in left}) == 12
    assert len(left) <= 7 + 4 + 12


def test_the_newest_of_a_day_stands_for_it() -> None:
    early, late = name_for(FIRST, False), name_for(FIRST + timedelta(hours=9), True)
    assert to_keep([early, late], LATER) == {late}


def test_a_shop_that_stood_still_keeps_what_it_has() -> None:
    old = _nights(3)
    new = name_for(FIRST + timedelta(days=800), False)
    assert to_keep([*old, new], LATER) == {*old, new}


@pytest.mark.parametrize(
    "name",
    ["notes.txt", ".hiltyard-20240101-030000.tar.x.part", "hiltyard-20249901-030000.tar", "a.tar"],
)
def test_other_files_are_none_of_ours(name: str) -> None:
    assert made_of(name) is None
    assert to_keep([name], LATER) == set()


def test_what_a_clock_dated_that_was_ahead_takes_nobodys_place() -> None:
    ahead = set(_nights(20, FIRST + timedelta(days=365)))
    there: set[str] = set(ahead)
    for day, name in enumerate(_nights(10)):
        there = to_keep({*there, name}, FIRST + timedelta(days=day))
    assert set(_nights(10)[3:]) <= there
    assert ahead <= there
