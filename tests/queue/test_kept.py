"""Promises kept: what became of each, by month, by their odds, and the page that says so."""

from datetime import date, datetime, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from builds.models import Build, Outcome, Promise
from builds.progress import actions as progress
from builds.progress.states import State
from builds.queue.actions import promise_with
from builds.queue.actions.settling import settle
from builds.queue.queries.kept import Bin, bars, by_month, calibration, first_month, in_all
from shop.models import User
from tests.makers import FRIDAY, make_build, put_on_hold

pytestmark = pytest.mark.django_db
DAY, WEEK = timedelta(days=1), timedelta(days=7)
TODAY = date(2026, 12, 31)


def told(owner: User, now: datetime, *days: date, odds: float | None = None) -> Build:
    """A build of which these days were told, one each hour."""
    build = make_build(owner, now)
    for n, day in enumerate(days):
        at = now + timedelta(hours=n)
        promise_with(build, day, odds, reason="", by=owner, now=at)
    return build


def leave(build: Build, day: date, now: datetime, state: str = State.SENT) -> None:
    moment = now.replace(year=day.year, month=day.month, day=day.day)
    Build.objects.filter(pk=build.pk).update(state=state, state_since=moment)
    settle(moment + timedelta(minutes=2))


def test_promise_that_held_and_one_that_did_not(owner: User, now: datetime) -> None:
    for day in (FRIDAY, FRIDAY + DAY):
        leave(told(owner, now, FRIDAY), day, now)
    held = [(each.left_on <= each.due, each.is_first, each.is_last) for each in _outcomes()]
    assert held == [(True, True, True), (False, True, True)]


def _outcomes() -> list[Outcome]:
    return list(Outcome.objects.order_by("promise"))


def test_every_change_is_judged_by_itself(owner: User, now: datetime) -> None:
    leave(told(owner, now, FRIDAY, FRIDAY + WEEK), FRIDAY + WEEK, now)
    first, last = _outcomes()
    assert (first.left_on > first.due, first.is_first, first.is_last) == (True, True, False)
    assert (last.left_on <= last.due, last.is_first, last.is_last) == (True, False, True)
    assert (first.moved_days, last.moved_days) == (0, 7)


def test_customers_own_waiting_is_not_held_against_a_promise(owner: User, now: datetime) -> None:
    build = told(owner, now, FRIDAY)
    held = put_on_hold(build, owner, now)
    progress.end_hold(held.pk, by=owner, now=now + 5 * DAY)
    leave(build, date(2026, 12, 4), now)
    (outcome,) = _outcomes()
    assert (outcome.due, outcome.left_on) == (date(2026, 12, 4), date(2026, 12, 4))


def test_day_that_only_follows_the_customers_waiting_is_no_change(
    owner: User, now: datetime
) -> None:
    build = told(owner, now, FRIDAY)
    held = put_on_hold(build, owner, now)
    progress.end_hold(held.pk, by=owner, now=now + 5 * DAY)
    promise_with(build, date(2026, 12, 4), None, reason="", by=owner, now=now + 5 * DAY)
    leave(build, date(2026, 12, 4), now)
    assert [each.moved_days for each in _outcomes()] == [0, 0]
    assert in_all(by_month(TODAY)).changes == 0


def test_leaving_that_may_be_taken_back_is_not_settled_yet(owner: User, now: datetime) -> None:
    build = told(owner, now, FRIDAY)
    Build.objects.filter(pk=build.pk).update(state=State.SENT, state_since=now)
    assert settle(now + timedelta(seconds=59)) == 0
    assert settle(now + timedelta(seconds=61)) == 1
    assert settle(now + DAY) == 0


def test_what_ended_unfinished_is_not_counted(owner: User, now: datetime) -> None:
    leave(told(owner, now, FRIDAY), FRIDAY, now, State.WITHDRAWN)
    assert _outcomes() == []


def test_months_are_counted_by_the_day_of_leaving(owner: User, now: datetime) -> None:
    leave(told(owner, now, FRIDAY), FRIDAY, now)
    leave(told(owner, now, FRIDAY, FRIDAY + 3 * DAY), FRIDAY + 3 * DAY, now)
    leave(told(owner, now, FRIDAY), date(2026, 12, 7), now)
    december, november = by_month(TODAY)
    assert (november.first, november.counted.builds) == (date(2026, 11, 1), 2)
    assert (november.counted.held_first, november.counted.held_last) == (1, 2)
    assert (november.counted.changes, november.counted.days_a_change) == (1, 3)
    assert (december.counted.builds, december.counted.held_last) == (1, 0)
    assert in_all([december, november]).builds == 3
    assert in_all([december, november]).is_few


def test_two_years_are_looked_at() -> None:
    assert first_month(TODAY) == date(2025, 1, 1)
    assert first_month(date(2026, 1, 9)) == date(2024, 2, 1)


def test_chart_ends_with_this_month(owner: User, now: datetime) -> None:
    leave(told(owner, now, FRIDAY), FRIDAY, now)
    drawn = bars(by_month(TODAY), TODAY, {})
    # It begins with the first month in which anything left.
    assert [bar.first for bar in drawn] == [date(2026, 11, 1), date(2026, 12, 1)]
    assert [bar.x for bar in drawn] == [0, 30]
    assert [(bar.first.month, bar.height) for bar in drawn if bar.has_any] == [(11, 100)]


def test_promises_are_held_against_their_odds(owner: User, now: datetime) -> None:
    for n in range(12):
        late = n < 3
        build = told(owner, now, FRIDAY, odds=0.8)
        leave(build, FRIDAY + DAY * late, now)
    leave(told(owner, now, FRIDAY, odds=0.97), FRIDAY, now)
    leave(told(owner, now, FRIDAY), FRIDAY, now)  # without odds: no part of it
    eighty, sure = calibration(TODAY)
    assert (eighty.low, eighty.high, eighty.promises, eighty.held) == (0.75, 0.85, 12, 9)
    assert (eighty.verdict, sure.verdict) == ("as-said", "few")


@pytest.mark.parametrize(
    ("held", "verdict"), [(20, "fewer"), (40, "as-said"), (50, "more"), (32, "fewer")]
)
def test_verdict_allows_for_chance(held: int, verdict: str) -> None:
    assert Bin(0.75, 0.85, 50, 0.8, held).verdict == verdict


def test_outcome_is_never_rewritten(owner: User, now: datetime) -> None:
    leave(told(owner, now, FRIDAY), FRIDAY, now)
    with pytest.raises(Exception, match=r"(?i)append|never|refus|grow"):
        Outcome.objects.update(left_on=date(2026, 1, 1))


# The page


@pytest.mark.parametrize("who", ["owner_client", "bench_client"])
def test_page_says_it_to_both(
    who: str, owner: User, now: datetime, request: pytest.FixtureRequest
) -> None:
    leave(told(owner, now, FRIDAY, FRIDAY + WEEK, odds=0.8), FRIDAY + WEEK, now)
    told(owner, now, FRIDAY)
    client: Client = request.getfixturevalue(who)
    said = client.get(reverse("queue_kept")).content.decode()
    for words in ("held", "missed by 7 days", "stands", "too few to judge", "80 %", "1/1", "0/1"):
        assert words in said


def test_page_of_a_young_shop_says_what_to_do(owner_client: Client) -> None:
    assert "No day promised yet" in owner_client.get(reverse("queue_kept")).content.decode()


def test_page_costs_the_same_however_much_was_promised(
    owner_client: Client, owner: User, now: datetime
) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as asked:
            owner_client.get(reverse("queue_kept"))
        return len(asked)

    leave(told(owner, now, FRIDAY), FRIDAY, now)
    few = queries()
    for _ in range(12):
        leave(told(owner, now, FRIDAY, FRIDAY + WEEK, odds=0.7), FRIDAY, now)
    assert Promise.objects.count() == 25
    assert queries() == few


def test_list_folds_after_twelve_and_the_rule_of_as_said_is_told(
    owner_client: Client, owner: User, now: datetime
) -> None:
    for n in range(13):
        leave(told(owner, now, FRIDAY, odds=0.8), FRIDAY + DAY * (n < 3), now)
    said = owner_client.get(reverse("queue_kept")).content.decode()
    assert "as said, as far as 13 can tell" in said
    assert "within what chance alone would give" in said
    assert "13 promises with odds came to their end." in said
    assert "<summary>1 more</summary>" in said
