"""The shop hears once of a promise that fell under its limit, the customer nothing by itself."""

from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.models import Build, Outlook
from builds.progress.states import State
from builds.queue.actions import promise, remind
from builds.queue.actions.reckoning import reckon
from builds.queue.actions.warning import warn
from builds.queue.models import Alarm
from builds.queue.tasks import reckon as reckon_task
from shop.diary.models import Closure
from shop.house.models import House
from shop.models import Message, User
from tests.makers import FRIDAY, make_build
from tests.queue.past import make_past

pytestmark = pytest.mark.django_db
MINUTE, HOUR, DAY, WEEK = (
    timedelta(minutes=1), timedelta(hours=1), timedelta(days=1), timedelta(days=7),
)  # fmt: skip


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    make_past(10, owner, now)
    found = make_build(owner, now, State.TEARDOWN)
    promise(found, FRIDAY, reason="", by=owner, now=now)
    reckon(now)
    return found


def falls_to(odds: float) -> None:
    Outlook.objects.update(odds=odds)


def test_shop_is_told_with_odds_and_what_helps(build: Build, house: House, now: datetime) -> None:
    falls_to(0.34)
    assert warn(now) == 1
    message = Message.objects.get()
    assert message.to == house.email
    assert message.subject.startswith("In danger: Ship by Friday 27 November")
    assert "34 % for Fri 27 Nov" in message.body
    assert "First day that holds" in message.body


def test_it_is_told_once_however_long_it_lasts(build: Build, now: datetime) -> None:
    falls_to(0.34)
    assert [warn(now + n * MINUTE) for n in range(5)] == [1, 0, 0, 0, 0]


def test_what_was_told_costs_nothing_more_however_much_is_in_danger(
    build: Build, owner: User, now: datetime
) -> None:
    def asked() -> list[str]:
        with CaptureQueriesContext(connection) as seen:
            warn(now)
        return [query["sql"] for query in seen]

    falls_to(0.34)
    warn(now)
    few = asked()
    for _n in range(3):
        promise(make_build(owner, now, State.TEARDOWN), FRIDAY, reason="", by=owner, now=now)
    reckon(now)
    falls_to(0.34)
    warn(now)
    assert len(asked()) == len(few)
    assert all(sql.startswith("SELECT") for sql in asked())


def test_it_is_not_told_again_for_a_small_recovery(build: Build, now: datetime) -> None:
    falls_to(0.7)
    warn(now)
    falls_to(0.84)
    warn(now)
    falls_to(0.6)
    assert warn(now) == 0


def test_it_is_told_again_after_it_was_well_over_the_limit(build: Build, now: datetime) -> None:
    falls_to(0.7)
    warn(now)
    falls_to(0.86)
    assert warn(now + MINUTE) == 0
    falls_to(0.6)
    assert warn(now + 2 * MINUTE) == 1
    assert [bool(each.over_at) for each in Alarm.objects.order_by("pk")] == [True, False]


def test_another_day_is_another_promise(build: Build, owner: User, now: datetime) -> None:
    falls_to(0.7)
    warn(now)
    promise(build, FRIDAY + WEEK, reason="", by=owner, now=now)
    reckon(now + MINUTE)
    falls_to(0.7)
    assert warn(now + MINUTE) == 1


def test_what_is_likely_enough_is_not_told(build: Build, now: datetime) -> None:
    falls_to(0.8)
    assert warn(now) == 0


@pytest.mark.parametrize("hours", [-3, 8, 3 * 24], ids=["early", "after closing", "on Saturday"])
def test_nobody_is_written_to_while_the_shop_is_closed(
    build: Build, now: datetime, hours: int
) -> None:
    moment = now + hours * HOUR
    Outlook.objects.update(odds=0.3)
    Outlook.objects.get().reckoning.__class__.objects.update(made_at=moment)
    assert warn(moment) == 0
    assert not Alarm.objects.exists()


def test_nor_in_a_closure(build: Build, now: datetime) -> None:
    Closure.objects.create(first=now.date(), last=now.date())
    falls_to(0.3)
    assert warn(now) == 0


def test_run_that_nobody_followed_up_says_nothing(build: Build, now: datetime) -> None:
    falls_to(0.3)
    assert warn(now + HOUR) == 0


def test_shop_without_a_mailbox_is_not_written_to(build: Build, now: datetime) -> None:
    House.objects.update(email="")
    falls_to(0.3)
    assert warn(now) == 0


def test_customer_is_told_nothing_by_itself(
    build: Build, now: datetime, house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    for moment in (now, now + HOUR, now + 3 * DAY, now + 9 * DAY):
        monkeypatch.setattr("builds.queue.tasks.now", lambda moment=moment: moment)
        reckon_task()
        remind(moment)
    assert set(Message.objects.values_list("to", flat=True)) == {house.email}
    assert not Message.objects.exclude(customer=None).exists()


# A week before


def test_week_before_it_is_said_where_it_is_not(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    found = make_build(owner, now, State.TEST)
    promise(found, FRIDAY + WEEK, reason="", by=owner, now=now)
    later = now + 3 * DAY + 2 * DAY  # the Monday before
    reckon(later)
    falls_to(0.97)
    assert remind(later) == 0
    falls_to(0.9)
    assert remind(later) == 1


def test_three_days_before_it_is_said_all_the_same(build: Build, now: datetime) -> None:
    falls_to(0.97)
    assert remind(now) == 1
