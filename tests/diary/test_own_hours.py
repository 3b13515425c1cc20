"""Working hours of each of the staff, days off, and the share of the day that is planned."""

from datetime import UTC, date, datetime, time

import pytest
from django.test import Client

from shop.diary import actions
from shop.diary.models import Closure, DayOff, ExtraDay
from shop.diary.queries import calendar, people_hours
from shop.diary.spans import hours_of
from shop.history.models import Entry
from shop.house.models import House
from shop.models import User
from tests.bench.pages import words

pytestmark = pytest.mark.django_db
MONDAY = datetime(2026, 11, 30, 8, 0, tzinfo=UTC)
MORNINGS = {0: (time(8), time(12)), 2: (time(8), time(12))}


def test_who_has_no_hours_keeps_the_shops(house: House, owner: User) -> None:
    (hours,) = people_hours(calendar(house))
    assert (hours.person, hours.is_own) == (owner, False)
    assert hours.week == calendar(house).hours


def test_own_hours_and_days_off_reach_the_forecast(
    house: House, owner: User, now: datetime
) -> None:
    actions.keep_own_hours(owner, MORNINGS, by=owner, now=now)
    actions.add_day_off(owner, date(2026, 12, 2), date(2026, 12, 3), by=owner, now=now)
    Closure.objects.create(first="2026-12-07", last="2026-12-07")
    (mine,) = people_hours(calendar(house))
    person = hours_of(calendar(house), mine.week, MONDAY, 14, mine.days_off)
    # Monday the 30th and Wednesday the 9th; the 2nd is off, the 7th is closed
    assert person.opens.tolist() == [0, 9 * 24 * 60]
    assert person.closes.tolist() == [240, 9 * 24 * 60 + 240]


def test_hours_left_empty_are_the_shops_again(house: House, owner: User, now: datetime) -> None:
    actions.keep_own_hours(owner, MORNINGS, by=owner, now=now)
    actions.keep_own_hours(owner, {}, by=owner, now=now)
    assert not people_hours(calendar(house))[0].is_own


def test_same_days_off_twice_are_there_once(owner: User, now: datetime) -> None:
    for _tap in range(2):
        actions.add_day_off(owner, date(2026, 12, 2), date(2026, 12, 2), by=owner, now=now)
    assert Entry.objects.filter(verb="day_off_added").count() == 1


def test_owner_writes_down_hours_of_a_helper(owner_client: Client, bench_hand: User) -> None:
    page = f"/settings/people/{bench_hand.pk}/hours/"
    assert "By the shop's hours" in words(owner_client.get(page))
    answer = owner_client.post(page, {"opens_1": "10:00", "closes_1": "14:00"}, follow=True)
    assert "Own hours." in words(answer)
    assert 'value="14:00"' in answer.content.decode()


def test_half_of_an_hour_is_asked_for_and_the_rest_stays(
    owner_client: Client, bench_hand: User
) -> None:
    page = f"/settings/people/{bench_hand.pk}/hours/"
    answer = owner_client.post(page, {"opens_1": "10:00", "opens_2": "09:00", "closes_2": "12:00"})
    assert answer.status_code == 422
    assert "Give both hours" in words(answer)
    assert 'value="12:00"' in answer.content.decode()


def test_owner_plans_and_takes_back_a_day_off(
    owner_client: Client, bench_hand: User, monkeypatch: pytest.MonkeyPatch, now: datetime
) -> None:
    monkeypatch.setattr("shop.clock.now", lambda: now)
    page = f"/settings/people/{bench_hand.pk}/off/"
    answer = owner_client.post(page, {"first": "2026-12-02"}, follow=True)
    assert "Wednesday 2 December" in words(answer)
    off = DayOff.objects.get()
    answer = owner_client.post(f"{page}{off.pk}/", follow=True)
    assert "No days off are planned" in words(answer)
    assert not DayOff.objects.exists()


def test_days_in_the_wrong_order_are_refused(owner_client: Client, bench_hand: User) -> None:
    page = f"/settings/people/{bench_hand.pk}/off/"
    answer = owner_client.post(page, {"first": "2099-12-02", "last": "2099-12-01"})
    assert answer.status_code == 422
    assert "comes before the first" in words(answer)


@pytest.mark.parametrize(("typed", "status"), [("70", 200), ("5", 422), ("x", 422)])
def test_the_planned_share_is_between_ten_and_all(
    owner_client: Client, house: House, typed: str, status: int
) -> None:
    answer = owner_client.post("/settings/hours/timed/", {"percent": typed}, follow=True)
    assert answer.status_code == status
    house.refresh_from_db()
    assert house.planned_percent == (70 if status == 200 else 80)


def test_seconds_of_an_hour_are_refused_beside_the_field(
    owner_client: Client, bench_hand: User
) -> None:
    page = f"/settings/people/{bench_hand.pk}/hours/"
    answer = owner_client.post(page, {"opens_1": "09:00:30", "closes_1": "14:00"})
    assert answer.status_code == 422
    assert "Write the hour as 09:30." in words(answer)
    assert 'value="09:00:30"' in answer.content.decode()


def test_seconds_that_were_kept_once_do_not_stop_the_dates(house: House) -> None:
    week = {0: (time(8, 0, 30), time(12, 0, 59, 5))}
    person = hours_of(calendar(house), week, MONDAY, 1)
    assert (person.opens.tolist(), person.closes.tolist()) == ([0], [240])


def test_day_off_said_later_beats_a_day_worked_on_top(
    owner_client: Client, bench_hand: User, owner: User, monkeypatch: pytest.MonkeyPatch,
    now: datetime,
) -> None:  # fmt: skip
    monkeypatch.setattr("shop.clock.now", lambda: now)
    for day in (date(2026, 11, 28), date(2026, 12, 5)):
        actions.add_extra_day(bench_hand, day, time(9), time(12), by=owner, now=now)
    page = f"/settings/people/{bench_hand.pk}/off/"
    answer = owner_client.post(page, {"first": "2026-11-27", "last": "2026-11-29"}, follow=True)
    assert "Not worked on top any more: Saturday 28 November." in words(answer)
    assert [extra.day for extra in ExtraDay.objects.all()] == [date(2026, 12, 5)]
    assert Entry.objects.filter(verb="extra_day_removed").count() == 1
