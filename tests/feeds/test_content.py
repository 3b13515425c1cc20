"""What a calendar is told: promises, dispatch days, closures; and what it is not told."""

from datetime import UTC, date, datetime, time, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.feeds.actions import make_feed
from builds.feeds.models import Feed, FeedEvent
from builds.hilts.models import Blade
from builds.models import Build, Hilt
from builds.progress.states import Kind, Leaves, State
from builds.queue.actions import promise
from shop.diary.actions import add_closure
from shop.diary.models import Weekday
from shop.house.models import House
from shop.people.models import User
from tests.feeds.reading import Clock, body, events_of, hold_to_the_rules, starts
from tests.makers import FRIDAY, make_build, make_parcel, put_on_hold

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("clock")]
DAY = timedelta(days=1)


@pytest.fixture
def heron(owner: User, now: datetime) -> Build:
    """A build that was promised for Friday."""
    build = make_build(owner, now, State.INSTALL)
    Hilt.objects.filter(pk=build.hilt_id).update(name="Heron")
    promise(build, FRIDAY, reason="", by=owner, now=now)
    return build


def test_promise_is_an_event_of_its_whole_day(stranger: Client, feed: Feed, heron: Build) -> None:
    event = events_of(body(stranger, feed))[f"{heron} Heron: promised"]
    assert (event.start, event.end) == (FRIDAY, FRIDAY + DAY)
    assert event.description == "Stage: install"
    assert str(event["url"]) == f"http://192.0.2.10:8000/build/{heron.number}/"
    assert event["transp"] == "TRANSPARENT"
    assert event["class"] == "PRIVATE"


def test_promise_moves_with_the_customers_own_waiting(
    stranger: Client, feed: Feed, heron: Build, owner: User, now: datetime, clock: Clock
) -> None:
    put_on_hold(heron, owner, now)
    clock.moment = now + 3 * DAY
    event = events_of(body(stranger, feed))[f"{heron} Heron: promised"]
    assert event.start == date(2026, 11, 30)  # three days on, rolled to a dispatch day
    assert event.description == (
        "Stage: install\n"
        "Moved by 3 days that its customer kept us waiting.\n"
        "It waits for its customer now, and the day moves along."
    )


def test_build_without_a_promise_is_no_event(
    stranger: Client, feed: Feed, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    assert f"{build} " not in body(stranger, feed).decode()


def test_build_that_ended_drops_out(stranger: Client, feed: Feed, heron: Build) -> None:
    body(stranger, feed)
    Build.objects.update(state=State.SENT, tray=None)
    assert not [said for said in starts(body(stranger, feed)) if "Heron" in said]


def test_late_promise_says_so(
    stranger: Client, feed: Feed, heron: Build, now: datetime, clock: Clock
) -> None:
    clock.moment = datetime(2026, 11, 27, 15, 1, tzinfo=UTC)  # its cut-off is past
    assert starts(body(stranger, feed))[f"{heron} Heron: promised, late"] == FRIDAY


def test_packed_in_time_is_not_late_and_leaves_on_the_next_day(
    stranger: Client, feed: Feed, owner: User, now: datetime, clock: Clock
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    make_parcel([build], owner, now)
    clock.moment = datetime(2026, 11, 27, 15, 1, tzinfo=UTC)
    found = events_of(body(stranger, feed))
    assert f"{build} {build.hilt}: promised" in found
    monday = found["Dispatch day: 1 build to leave, cut-off 15:00"]
    assert monday.start.date() == date(2026, 11, 30)


def test_build_that_is_collected_leaves_in_no_parcel(
    stranger: Client, feed: Feed, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, leaves_by=Leaves.COLLECTION)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    found = starts(body(stranger, feed))
    assert found[f"{build} {build.hilt}: promised, is collected"] == FRIDAY
    assert not [said for said in found if "1 build" in said]


def test_blade_without_a_hilt_has_a_name(
    stranger: Client, feed: Feed, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, kind=Kind.BLADE)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    assert f"{build} Blade only: promised" in starts(body(stranger, feed))
    build.blade = Blade.objects.create(
        customer=build.item.order.customer, name="Long one", since=now
    )
    build.save()
    assert f"{build} Long one: promised" in starts(body(stranger, feed))


def test_dispatch_day_is_the_hour_before_its_cut_off(
    stranger: Client, feed: Feed, heron: Build
) -> None:
    event = events_of(body(stranger, feed))["Dispatch day: 1 build to leave, cut-off 15:00"]
    assert event.start == datetime(2026, 11, 27, 14, 0, tzinfo=UTC)
    assert event.end == datetime(2026, 11, 27, 15, 0, tzinfo=UTC)
    assert event.description == f"{heron} Heron"


def test_dispatch_day_without_a_build_says_so(stranger: Client, feed: Feed) -> None:
    assert "Dispatch day: nothing to leave yet, cut-off 15:00" in starts(body(stranger, feed))


def dispatch_days(text: bytes) -> list[datetime]:
    """When each dispatch day closes."""
    ends = [event["DTEND"] for event in hold_to_the_rules(text) if "VALUE" not in event["DTEND"]]
    return sorted(datetime.strptime(end, "%Y%m%dT%H%M%S%z") for end in ends)


def test_dispatch_days_of_sixty_days(stranger: Client, feed: Feed, now: datetime) -> None:
    days = dispatch_days(body(stranger, feed))
    assert [days[0].date(), days[-1].date()] == [FRIDAY, date(2027, 1, 22)]
    assert len(days) == 14  # Mondays and Fridays, but for Christmas, Boxing and New Year's Day


@pytest.mark.parametrize(
    ("zone", "moment", "before", "after"),
    [
        ("Europe/London", (2026, 3, 24), "2026-03-27 15:00", "2026-03-30 14:00"),
        ("Europe/London", (2026, 10, 21), "2026-10-23 14:00", "2026-10-26 15:00"),
        ("America/New_York", (2026, 10, 28), "2026-10-30 19:00", "2026-11-02 20:00"),
        ("Australia/Lord_Howe", (2026, 10, 1), "2026-10-02 04:30", "2026-10-05 04:00"),
        ("Asia/Kathmandu", (2026, 10, 21), "2026-10-23 09:15", "2026-10-26 09:15"),
    ],
)
def test_cut_off_is_right_on_both_sides_of_a_clock_change(
    stranger: Client,
    feed: Feed,
    clock: Clock,
    zone: str,
    moment: tuple[int, int, int],
    before: str,
    after: str,
) -> None:
    House.objects.update(zone_name=zone, closed_on_holidays=False)
    clock.moment = datetime(*moment, 12, tzinfo=UTC)
    days = dispatch_days(body(stranger, feed))
    assert [f"{day:%Y-%m-%d %H:%M}" for day in days[:2]] == [before, after]


@pytest.mark.parametrize(("cut_off", "end"), [(time(1, 30), "00:30"), (time(0, 30), "23:30")])
def test_cut_off_in_the_night_of_a_clock_change_is_one_moment(
    stranger: Client, feed: Feed, clock: Clock, cut_off: time, end: str
) -> None:
    House.objects.update(cut_off=cut_off)
    Weekday.objects.filter(weekday=6).update(dispatches=True)
    clock.moment = datetime(2026, 10, 24, 12, tzinfo=UTC)
    assert f"{dispatch_days(body(stranger, feed))[0]:%H:%M}" == end  # its first time that night


def test_closure_covers_both_its_days(
    stranger: Client, feed: Feed, owner: User, now: datetime
) -> None:
    add_closure(date(2027, 1, 4), date(2027, 1, 8), "Oda's knee", by=owner, now=now)
    text = body(stranger, feed)
    event = events_of(text)["Shop closed"]
    assert (event.start, event.end) == (date(2027, 1, 4), date(2027, 1, 9))
    assert date(2027, 1, 4) not in {day.date() for day in dispatch_days(text)}
    assert "knee" not in text.decode()  # why is the shop's own affair


def test_holidays_are_told_by_name(stranger: Client, feed: Feed) -> None:
    found = starts(body(stranger, feed))
    assert found["Shop closed: Christmas Day"] == date(2026, 12, 25)


def test_holiday_on_a_day_off_is_no_news(stranger: Client, feed: Feed, clock: Clock) -> None:
    clock.moment = datetime(2027, 12, 1, 12, tzinfo=UTC)  # Christmas Day is a Saturday
    days = [day for said, day in starts(body(stranger, feed)).items() if "closed" in said]
    assert date(2027, 12, 25) not in days
    assert date(2027, 12, 27) in days


def test_nobody_is_named_and_no_sum_is_told(
    stranger: Client, feed: Feed, heron: Build, owner: User, now: datetime
) -> None:
    Build.objects.update(note="owes 45.00, call her at home")
    put_on_hold(heron, owner, now)
    text = body(stranger, feed).decode()
    customer = heron.item.order.customer
    for private in (customer.called, customer.full_name, customer.email, "45.00", owner.name):
        assert private not in text


@pytest.mark.parametrize("state", [State.BOOKED, State.INTAKE, State.DISPATCH])
def test_open_build_is_told_in_every_stage(
    stranger: Client, feed: Feed, owner: User, now: datetime, state: str
) -> None:
    build = make_build(owner, now, state)
    promise(build, FRIDAY, reason="", by=owner, now=now)
    assert f"{build} {build.hilt}: promised" in starts(body(stranger, feed))


def test_each_reads_their_own_language_and_nothing_changes_by_that(
    stranger: Client, feed: Feed, heron: Build, bench_hand: User, now: datetime
) -> None:
    first = body(stranger, feed)
    bench_hand.language = "de"
    bench_hand.save()
    theirs = make_feed("wall", token=uuid4(), by=bench_hand, now=now)
    assert f"{heron} Heron: zugesagt" in events_of(body(stranger, theirs))
    assert body(stranger, feed) == first
    assert set(FeedEvent.objects.values_list("sequence", flat=True)) == {0}
