"""Promises, the day they come to, and the reminders that follow."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.db import connection

from builds.models import Build, Promise
from builds.progress import actions as progress
from builds.progress.states import State, Turn
from builds.queue import actions as queue
from builds.queue.actions import Refused, bucket, promise, remind
from builds.queue.queries import Due, dues, odds_now
from shop.diary.models import Closure, Weekday
from shop.diary.queries import calendar
from shop.history.models import Entry
from shop.house.models import House
from shop.models import Message, User
from shop.post.actions import save_wording
from shop.post.models import Occasion
from tests.makers import FRIDAY, at_once, make_build, put_on_hold

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
IN_TWO_WEEKS = FRIDAY + 14 * DAY


def due_of(build: Build, house: House, now: datetime) -> Due:
    """The day that a build is due."""
    return dues([build.pk], calendar(house), now)[build.pk]


def keys() -> list[str]:
    """The reminders that were queued, without the build's id."""
    found = Message.objects.filter(occasion="ship_by").order_by("pk")
    return [":".join(key.split(":")[2:]) for key in found.values_list("key", flat=True)]


@pytest.mark.parametrize(
    ("day", "which"),
    [
        # Friday 11 December: its marks are Friday the 4th, Tuesday the 8th, Thursday the 10th
        (3, ""), (4, "7"), (7, "7"), (8, "3"), (9, "3"), (10, "1"), (11, "1"), (12, "late"),
    ],
)  # fmt: skip
def test_which_reminder_a_day_is_in_for(day: int, which: str, house: House) -> None:
    then = datetime(2026, 12, day, 10, 0, tzinfo=UTC)
    assert bucket(date(2026, 12, 11), calendar(house), then) == which


@pytest.mark.parametrize(
    ("due", "today", "which"),
    [
        # Closed from Monday 21 December to Friday 1 January: the last working day is Friday 18
        (date(2027, 1, 4), 17, ""),
        (date(2027, 1, 4), 18, "1"),  # the nearest of three stands for all
        (date(2027, 1, 8), 17, ""),
        (date(2027, 1, 8), 18, "7"),  # its third and first day before are worked again
        (date(2026, 12, 14), 11, "1"),  # the eve is a Sunday: on the Friday before
    ],
)
def test_what_falls_on_a_day_off_comes_before_it(
    due: date, today: int, which: str, house: House
) -> None:
    Closure.objects.create(first=date(2026, 12, 21), last=date(2027, 1, 1))
    then = datetime(2026, 12, today, 10, 0, tzinfo=UTC)
    assert bucket(due, calendar(house), then) == which


def test_promise_is_kept_once(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    first = promise(build, FRIDAY, reason="", by=owner, now=now)
    assert promise(build, FRIDAY, reason="", by=owner, now=now) == first
    assert Entry.objects.get(verb="promised").parameters == {"day": "2026-11-27"}


def test_new_promise_leaves_the_old_one_standing(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    for day in (FRIDAY, FRIDAY + 7 * DAY):
        promise(build, day, reason="speaker late", by=owner, now=now)
    assert list(build.promises.order_by("pk").values_list("day", flat=True)) == [
        FRIDAY, FRIDAY + 7 * DAY,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("day", "why"),
    [
        (date(2026, 11, 24), "That day is past."),
        (
            date(2026, 11, 28),
            "Nothing leaves that day. The next dispatch day is Monday 30 November.",
        ),
    ],
)
def test_day_on_which_nothing_leaves_is_refused(
    day: date, why: str, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused) as told:
        promise(make_build(owner, now), day, reason="", by=owner, now=now)
    assert str(told.value) == why


def test_shop_without_dispatch_days_is_told_so(owner: User, now: datetime) -> None:
    Weekday.objects.update(dispatches=False)
    with pytest.raises(Refused, match="Set the dispatch days first"):
        promise(make_build(owner, now), FRIDAY, reason="", by=owner, now=now)


def test_year_that_is_mistyped_is_refused(owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="Look at the year"):
        promise(make_build(owner, now), date(2062, 11, 27), reason="", by=owner, now=now)


def test_ended_build_is_promised_nothing(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN)
    with pytest.raises(Refused, match="has ended"):
        promise(build, FRIDAY, reason="", by=owner, now=now)


# The day that it comes to


def _wait(build: Build, owner: User, since: datetime, days: int, **more: str) -> None:
    held = put_on_hold(build, owner, since, **more)
    progress.end_hold(held.pk, by=owner, now=since + days * DAY)


@pytest.mark.parametrize(
    ("days", "due"),
    [
        (0, FRIDAY),
        (1, date(2026, 11, 30)),  # Saturday: nothing leaves, so Monday
        (3, date(2026, 11, 30)),
        (4, date(2026, 12, 4)),
    ],
)
def test_customers_own_waiting_moves_the_day_to_a_dispatch_day(
    days: int, due: date, owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    _wait(build, owner, now, days)
    found = due_of(build, house, now + 10 * DAY)
    assert (found.promised, found.waited_days, found.day) == (FRIDAY, days, due)


@pytest.mark.parametrize("turn", [Turn.SUPPLIER, Turn.SHOP, Turn.CARRIER])
def test_nobody_elses_waiting_moves_it(turn: str, owner: User, house: House, now: datetime) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    _wait(build, owner, now, 5, turn=turn)
    assert due_of(build, house, now + 10 * DAY).day == FRIDAY


def test_hold_that_stops_only_later_work_moves_nothing(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    _wait(build, owner, now, 5, before=State.DISPATCH)
    assert due_of(build, house, now + 10 * DAY).day == FRIDAY


def test_two_holds_on_one_day_count_once(owner: User, house: House, now: datetime) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    for words in ("colour", "sounds"):
        held = put_on_hold(build, owner, now)
        held.words = words
        held.save()
    build.holds.update(ended_at=now + 3 * DAY, ended_by=owner)
    assert build.holds.count() == 2
    assert due_of(build, house, now + 10 * DAY).waited_days == 3


def test_waiting_before_the_promise_counts_for_nothing(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    _wait(build, owner, now - 9 * DAY, 5)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    assert due_of(build, house, now).waited_days == 0


def test_hold_that_spans_the_promise_counts_from_it(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    held = put_on_hold(build, owner, now - 9 * DAY)
    promise(build, IN_TWO_WEEKS, reason="", by=owner, now=now)
    progress.end_hold(held.pk, by=owner, now=now + 2 * DAY)
    assert due_of(build, house, now + 5 * DAY).waited_days == 2


def test_closure_is_rolled_over(owner: User, house: House, now: datetime) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    Closure.objects.create(first=date(2026, 11, 30), last=date(2026, 12, 3))
    _wait(build, owner, now, 1)
    assert due_of(build, house, now + 10 * DAY).day == date(2026, 12, 4)


def test_same_day_said_again_after_waiting_is_a_new_promise(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    promise(build, IN_TWO_WEEKS, reason="", by=owner, now=now)
    _wait(build, owner, now, 4)
    later = now + 4 * DAY
    promise(build, IN_TWO_WEEKS, reason="we make it", by=owner, now=later)
    assert due_of(build, house, later).day == IN_TWO_WEEKS
    assert Promise.objects.count() == 2


# Reminders


def test_each_reminder_comes_once_however_often_the_clock_ticks(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    promise(build, IN_TWO_WEEKS, reason="", by=owner, now=now)
    queued = sum(remind(now + n * timedelta(hours=4)) for n in range(6 * 20))
    due = IN_TWO_WEEKS.isoformat()
    assert keys() == [f"{which}:{due}" for which in ("7", "3", "1", "late")]
    assert queued == 4


def test_no_reminder_comes_while_nobody_is_here(owner: User, house: House, now: datetime) -> None:
    Closure.objects.create(first=date(2026, 12, 21), last=date(2027, 1, 1))
    build, due = make_build(owner, now), date(2027, 1, 4)
    promise(build, due, reason="", by=owner, now=now)
    came = [n for n in range(45) if remind(now + n * DAY)]
    assert keys() == [f"1:{due}", f"late:{due}"]
    assert [(now + n * DAY).date() for n in came] == [date(2026, 12, 18), date(2027, 1, 5)]


def test_a_promise_made_while_the_shop_is_closed_is_reminded_of_as_it_opens(
    owner: User, house: House, now: datetime
) -> None:
    Closure.objects.create(first=date(2026, 11, 24), last=date(2026, 12, 2))
    promise(make_build(owner, now), date(2026, 12, 4), reason="", by=owner, now=now)
    first = datetime(2026, 12, 3, 0, 0, tzinfo=UTC)
    assert [remind(first - timedelta(minutes=1)), remind(first), remind(first)] == [0, 1, 0]


def test_a_shop_that_wrote_down_no_hours_hears_all_the_same(
    owner: User, house: House, now: datetime
) -> None:
    Weekday.objects.update(opens=None, closes=None)
    promise(make_build(owner, now), FRIDAY, reason="", by=owner, now=now)
    assert remind(now) == 1


def test_reminder_goes_to_the_shop_and_names_the_build(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    remind(now)
    message = Message.objects.get()
    assert (message.to, message.about) == (house.email, build.about)
    assert message.subject == f"Ship by Friday 27 November: build {build}, {build.hilt}"
    assert message.key == f"shipby:{build.pk}:3:2026-11-27"


def test_late_one_is_said_to_be_late(owner: User, house: House, now: datetime) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    remind(now + 5 * DAY)
    message = Message.objects.get()
    assert message.subject.startswith("Late: Ship by Friday 27 November")
    assert "That day has passed." in message.body


def test_reminder_speaks_in_the_shops_own_words(owner: User, house: House, now: datetime) -> None:
    save_wording(Occasion.SHIP_BY, "$hilt: $day", "For $name, in $stage.\n", owner, now)
    build = make_build(owner, now, State.INSTALL)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    remind(now)
    message = Message.objects.get()
    assert message.subject == f"{build.hilt}: Friday 27 November"
    assert message.body == "For Wren, in install.\n"


def test_moved_day_is_reminded_of_anew(owner: User, house: House, now: datetime) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    remind(now)
    promise(build, FRIDAY + 3 * DAY, reason="", by=owner, now=now)
    remind(now)
    assert keys() == ["3:2026-11-27", "7:2026-11-30"]


def test_nothing_is_due_while_the_customer_is_asked(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    held = put_on_hold(build, owner, now)
    assert sum(remind(now + n * DAY) for n in range(12)) == 0
    monday = now + 12 * DAY
    progress.end_hold(held.pk, by=owner, now=monday)
    assert remind(monday) == 1


def test_ended_and_unpromised_builds_are_not_reminded_of(
    owner: User, house: House, now: datetime
) -> None:
    make_build(owner, now)
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    Build.objects.filter(pk=build.pk).update(state=State.WITHDRAWN)
    assert remind(now) == 0


def test_shop_without_a_mailbox_is_not_reminded(owner: User, house: House, now: datetime) -> None:
    House.objects.update(email="")
    promise(make_build(owner, now), FRIDAY, reason="", by=owner, now=now)
    assert remind(now) == 0


def test_shop_without_dispatch_days_is_reminded_all_the_same(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    _wait(build, owner, now, 2)
    Weekday.objects.update(dispatches=False)
    assert remind(now + 2 * DAY) == 1
    assert keys() == ["1:2026-11-29"]  # its eve is a Saturday: today is the last day to hear


DST = [
    # zone, night of the change, a dispatch day after it
    ("Europe/London", date(2026, 3, 29), date(2026, 4, 3)),
    ("Europe/London", date(2026, 10, 25), date(2026, 10, 30)),
    ("America/New_York", date(2026, 3, 8), date(2026, 3, 13)),
    ("America/New_York", date(2026, 11, 1), date(2026, 11, 6)),
]


@pytest.mark.parametrize(("zone", "night", "day"), DST)
def test_reminders_change_at_the_shops_midnight_when_the_clocks_change(
    zone: str, night: date, day: date, owner: User, house: House
) -> None:
    House.objects.update(zone_name=zone, closed_on_holidays=False)
    start = datetime.combine(day - 10 * DAY, datetime.min.time(), ZoneInfo(zone))
    build = make_build(owner, start)
    promise(build, day, reason="", by=owner, now=start.astimezone(UTC))
    first: dict[str, datetime] = {}
    moment = start.astimezone(UTC)
    while moment < datetime.combine(day + 2 * DAY, datetime.min.time(), ZoneInfo(zone)):
        if remind(moment):
            first[keys()[-1].split(":")[0]] = moment
        moment += timedelta(hours=1)
    # In hours: the cut-off's own minute is in time, so the hour after it is the first one late.
    late = (day, time(house.cut_off.hour + 1))
    midnight = time()
    expected = {
        "7": (day - 7 * DAY, midnight), "3": (day - 3 * DAY, midnight), "1": (day - DAY, midnight),
        "late": late,
    }  # fmt: skip
    assert first == {
        which: datetime.combine(*on, ZoneInfo(zone)).astimezone(UTC)
        for which, on in expected.items()
    }
    assert start.date() <= night <= day + DAY


@pytest.mark.parametrize(("zone", "night", "day"), DST)
def test_waiting_over_the_change_of_clocks_is_counted_in_days(
    zone: str, night: date, day: date, owner: User, house: House
) -> None:
    House.objects.update(zone_name=zone, closed_on_holidays=False)
    house.refresh_from_db()
    noon = datetime.combine(night - DAY, datetime.min.time(), ZoneInfo(zone)) + DAY / 2
    build = make_build(owner, noon)
    promise(build, day, reason="", by=owner, now=noon.astimezone(UTC))
    held = put_on_hold(build, owner, noon.astimezone(UTC))
    ended = datetime.combine(night + DAY, datetime.min.time(), ZoneInfo(zone))
    progress.end_hold(held.pk, by=owner, now=ended.astimezone(UTC))
    assert due_of(build, house, ended.astimezone(UTC)).waited_days == 2


@pytest.mark.django_db(transaction=True)
def test_two_clocks_that_tick_at_once_remind_once(owner: User, house: House, now: datetime) -> None:
    promise(make_build(owner, now), FRIDAY, reason="", by=owner, now=now)
    answers = at_once(*[lambda: queue.remind(now)] * 4)
    assert not [answer for answer in answers if isinstance(answer, Exception)]
    assert len(keys()) == 1


@pytest.mark.django_db(transaction=True)
def test_same_promise_from_two_tablets_is_one(owner: User, house: House, now: datetime) -> None:
    build = make_build(owner, now)
    at_once(*[lambda: promise(build, FRIDAY, reason="", by=owner, now=now)] * 3)
    assert Promise.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_nobody_waits_while_the_odds_of_a_day_are_worked_out(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    build, locks = make_build(owner, now), []

    def looked_at(*given: Any) -> float | None:
        locks.append(connection.in_atomic_block)
        return odds_now(*given)

    monkeypatch.setattr("builds.queue.actions.promising.odds_now", looked_at)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    assert locks == [False]
