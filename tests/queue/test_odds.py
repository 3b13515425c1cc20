"""The odds that a promise had as it was made, and what helps one that is in danger."""

from datetime import date, datetime, time, timedelta

import pytest

from builds.models import Build, LinePlace
from builds.progress import actions as progress
from builds.progress.states import State
from builds.queue.actions import promise
from builds.queue.actions.reckoning import reckon
from builds.queue.models import Outlook
from builds.queue.queries import line, outlooks
from builds.queue.queries.dates import dates
from builds.queue.queries.said import choice
from builds.queue.remedies import in_danger, remedies
from builds.queue.states import Remedy
from builds.queue.values import reckoned
from shop.diary.queries import calendar
from shop.house.models import House
from shop.models import User
from tests.makers import FRIDAY, make_build, make_part, put_on_hold
from tests.queue.past import make_past
from tests.stores.bought import waits_for
from tests.stores.orders import make_ordered

pytestmark = pytest.mark.django_db
MINUTE, WEEK = timedelta(minutes=1), timedelta(days=7)
LATER = FRIDAY + 6 * WEEK


def outlook_of(build: Build, now: datetime) -> Outlook:
    reckon(now)
    return outlooks([build.pk])[build.pk]


# As it was made


def test_while_it_waits_for_its_customer_no_odds_are_kept(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.TEARDOWN)
    put_on_hold(build, owner, now)
    assert promise(build, LATER, reason="", by=owner, now=now).odds is None


def test_promise_keeps_the_odds_of_its_day(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.TEARDOWN)
    soon = promise(build, FRIDAY, reason="", by=owner, now=now)
    late = promise(build, LATER, reason="", by=owner, now=now)
    assert soon.odds is not None
    assert late.odds is not None
    assert soon.odds < 0.9 < 0.98 < late.odds


def test_odds_are_those_of_the_newest_run_where_there_is_one(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.INSTALL)
    reckon(now)
    Outlook.objects.update(moments=[60 * 24 * 365] * 41)
    told = promise(build, FRIDAY + WEEK, reason="", by=owner, now=now + MINUTE)
    assert told.odds == 0


def test_run_that_is_stale_is_not_asked(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.INSTALL)
    reckon(now)
    Outlook.objects.update(moments=[60 * 24 * 365] * 41)
    told = promise(build, LATER, reason="", by=owner, now=now + 10 * MINUTE)
    assert told.odds is not None
    assert told.odds > 0.9


def test_build_that_came_after_the_run_is_walked_for(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    reckon(now)
    told = promise(make_build(owner, now, State.INSTALL), LATER, reason="", by=owner, now=now)
    assert told.odds is not None


def test_of_fewer_than_ten_no_odds_are_kept(owner: User, now: datetime) -> None:
    make_past(9, owner, now)
    build = make_build(owner, now, State.INSTALL)
    assert promise(build, LATER, reason="", by=owner, now=now).odds is None
    reckon(now)
    assert promise(build, LATER + WEEK, reason="", by=owner, now=now).odds is None


# What helps


def _in_trouble(owner: User, now: datetime, day: date = FRIDAY) -> Build:
    build = make_build(owner, now, State.INSTALL)
    promise(build, day, reason="", by=owner, now=now)
    return build


def test_parts_are_asked_after_where_that_helps(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = _in_trouble(owner, now, FRIDAY + WEEK)
    part = make_part(owner, now)
    bought = make_ordered(owner, now, (part, 1), expected_on=date(2026, 12, 10))
    held = progress.hold(build.pk, fields=waits_for(bought, part, now), by=owner, now=now)
    found = outlook_of(build, now)
    assert (found.remedy, found.drives) == (Remedy.CHASE, "parts")
    assert found.remedy_with == {"cause": "parts", "line": held.line_id}
    assert found.odds is not None
    assert found.remedy_odds is not None
    assert found.odds < 0.2 < 0.8 <= found.remedy_odds


def test_customer_is_asked_where_that_helps(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.TEST)
    promise(build, FRIDAY + WEEK, reason="", by=owner, now=now)
    # It stops only what is later: the day does not move along.
    put_on_hold(build, owner, now - WEEK, before=State.DISPATCH)
    found = outlook_of(build, now)
    assert (found.remedy, found.remedy_with) == (Remedy.ASK, {"cause": "answer"})


def test_it_is_taken_first_where_nobody_falls_by_it(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    others = [make_build(owner, now, State.INSTALL) for _ in range(3)]
    for place, other in enumerate(others, 1):
        LinePlace.objects.create(build=other, place=place)
    build = _in_trouble(owner, now, FRIDAY + WEEK)
    assert outlook_of(build, now).remedy == Remedy.FIRST


def test_it_is_not_where_somebody_falls(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    other = make_build(owner, now, State.INSTALL)
    promise(other, FRIDAY, reason="", by=owner, now=now)
    LinePlace.objects.create(build=other, place=1)
    Build.objects.filter(pk=other.pk).update(state=State.TEST)
    House.objects.update(least_odds_percent=70)
    build = _in_trouble(owner, now)
    assert outlook_of(build, now).remedy != Remedy.FIRST


def test_else_somebody_works_a_day_more(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.INSTALL)
    monday = date(2026, 11, 30)
    promise(build, monday, reason="", by=owner, now=now)
    House.objects.update(cut_off=time(9, 30))
    whole = line(now)
    seen = reckoned(whole)
    odds = seen[build.pk].odds
    assert odds is not None
    least = odds + 0.03  # what a day more brings it over, whatever the hours
    found = remedies(whole, seen, least)[build.pk]
    assert found.remedy == Remedy.EXTRA_DAY
    assert found.facts == {
        "person": owner.pk, "day": "2026-11-28", "opens": "09:00", "closes": "17:30",
    }  # fmt: skip


def test_last_a_new_day_is_named_the_first_with_enough_odds(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.TEARDOWN)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    found = outlook_of(build, now)
    assert found.remedy == Remedy.NEW_DAY
    assert date.fromisoformat(found.remedy_with["day"]) > FRIDAY
    assert found.remedy_odds is not None
    assert found.remedy_odds >= 0.8


def test_day_that_is_past_takes_no_trial_from_what_can_be_helped(
    owner: User, now: datetime
) -> None:
    make_past(20, owner, now)
    gone = [make_build(owner, now, State.INSTALL) for _ in range(11)]
    for build in gone:
        promise(build, FRIDAY, reason="", by=owner, now=now)
    later = now + WEEK
    behind = _in_trouble(owner, later, FRIDAY + WEEK)
    found = line(later)
    helps = remedies(found, reckoned(found, 500), 0.8)
    assert behind.pk in helps
    assert {helps[build.pk].remedy for build in gone} == {Remedy.NEW_DAY}


def test_only_the_worst_are_looked_into(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    for _ in range(14):
        promise(make_build(owner, now, State.TEARDOWN), FRIDAY, reason="", by=owner, now=now)
    whole = line(now)
    seen = reckoned(whole)
    assert len(in_danger(whole, seen, 0.8)) == 14
    assert len(remedies(whole, seen, 0.8)) == 10


def test_what_is_not_in_danger_needs_nothing(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.INSTALL)
    promise(build, LATER, reason="", by=owner, now=now)
    assert outlook_of(build, now).remedy == ""


# What stands beside the choice of a day


def test_old_run_gives_a_range_from_the_same_day_as_the_page_of_dates(
    owner: User, house: House, now: datetime
) -> None:
    make_past(20, owner, now)
    build = make_build(owner, now, State.INSTALL)
    seen = outlook_of(build, now)
    Outlook.objects.update(moments=[60 * 24 * n for n in range(41)])
    later = now + timedelta(hours=2)
    found = choice(build, calendar(house), later)
    row = dates(calendar(house), later).rows[0]
    assert (found.early, found.late) == (row.early, seen.day_95)
    assert found.early == FRIDAY
    assert (found.days, found.old_since) == ((), now)
