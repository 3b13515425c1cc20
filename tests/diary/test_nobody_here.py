"""When nothing should be posted to the shop, in the words that a customer reads."""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from builds.models import Build
from builds.progress.states import State
from builds.queue.wording import stand_of, values, words_for
from shop.diary.calendar import Calendar, Closed
from shop.diary.models import Closure
from shop.diary.queries import calendar, nobody_here
from shop.house.models import House
from shop.models import User
from shop.post.models import Occasion
from tests.makers import make_build

TODAY = date(2026, 11, 25)
WEEK = Closed(date(2026, 12, 7), date(2026, 12, 11))
NO_WEEK = "Please don’t let it arrive between Saturday 5 December and Sunday 13 December: nobody"


def _calendar(*closures: Closed, country: str = "") -> Calendar:
    return Calendar(
        zone=ZoneInfo("Europe/London"),
        cut_off=time(15),
        hours={day: (time(9), time(17)) for day in range(5)},
        dispatch_weekdays=frozenset({0, 4}),
        closures=closures,
        country=country,
    )


@pytest.mark.parametrize(
    ("closures", "said"),
    [
        ((), ""),
        # with the days off around them
        ((WEEK,), f"{NO_WEEK} is here."),
        (
            (Closed(date(2026, 12, 8), date(2026, 12, 8)),),
            "Please don’t let it arrive on Tuesday 8 December: nobody is here.",
        ),
        # two in a row, with a weekend between, are one
        ((WEEK, Closed(date(2026, 12, 4), date(2026, 12, 4))), "Friday 4 December and Sunday 13"),
        ((Closed(date(2027, 3, 1), date(2027, 3, 5)),), ""),  # too far away to be told
    ],
)
@pytest.mark.django_db
def test_when_nothing_should_arrive(closures: tuple[Closed, ...], said: str) -> None:
    found = nobody_here(_calendar(*closures), TODAY)
    assert said in found
    assert bool(said) == bool(found)


def test_while_the_shop_is_closed_its_whole_closure_is_named() -> None:
    assert NO_WEEK in nobody_here(_calendar(WEEK), date(2026, 12, 9))


def test_a_public_holiday_alone_is_not_told_nothing_is_delivered_then() -> None:
    assert nobody_here(_calendar(country="GB"), TODAY) == ""


def test_holidays_beside_a_closure_belong_to_it() -> None:
    year_end = Closed(date(2026, 12, 29), date(2026, 12, 31))
    found = nobody_here(_calendar(year_end, country="GB"), TODAY)
    assert "between Friday 25 December and Sunday 3 January" in found


# What messages say


@pytest.fixture
def closed(house: House) -> House:
    Closure.objects.create(first=WEEK.first, last=WEEK.last, reason="eye doctor")
    House.objects.update(address="3 Larkhill Yard")
    return House.objects.get()


def told(build: Build, shop: House, now: datetime, occasion: str = Occasion.POSTING) -> str:
    return words_for(stand_of(build, calendar(shop), now), occasion, shop).body


def test_who_is_to_post_a_hilt_is_told_when_not_to(
    owner: User, closed: House, now: datetime
) -> None:
    body = told(make_build(owner, now), closed, now)
    assert f"3 Larkhill Yard\n\n{NO_WEEK} is here." in body
    assert "eye doctor" not in body


def test_without_a_closure_no_word_is_said_of_it(owner: User, house: House, now: datetime) -> None:
    assert "Please don’t" not in told(make_build(owner, now), house, now)


def test_what_is_here_is_told_nothing_of_posting(owner: User, closed: House, now: datetime) -> None:
    stand = stand_of(make_build(owner, now, State.TEARDOWN), calendar(closed), now)
    assert values(stand, Occasion.STAGE, closed)["closed"] == ""
