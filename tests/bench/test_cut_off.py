"""At the cut-off: the day's page, Today, promise, reminder, customer's page and message agree."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.test import Client

from builds.bench.queries.board import open_rows
from builds.bench.queries.dispatch import dispatch_day
from builds.bench.queries.telling import tellings, text_of
from builds.bench.queries.today import wants
from builds.dispatch.models import Parcel
from builds.dispatch.queries import day_of
from builds.models import Build, Promise
from builds.progress.states import State
from builds.queue.actions import Refused, promise, remind
from builds.queue.wording import stand_of
from builds.visitor.queries import order_page
from shop.diary.models import Closure
from shop.diary.queries import calendar
from shop.models import House, Message, User
from shop.post.actions import queue_message
from tests.bench import stands
from tests.bench.conftest import Clock
from tests.bench.pages import words
from tests.makers import make_build, make_parcel

FRIDAY, MONDAY = date(2026, 11, 27), date(2026, 11, 30)
pytestmark = pytest.mark.django_db
ZONES = ["Europe/London", "America/New_York", "Australia/Sydney"]


def cut_off(house: House, day: date = FRIDAY) -> datetime:
    """The first moment after the cut-off's own minute."""
    return datetime.combine(day, house.cut_off, house.zone).astimezone(UTC) + timedelta(minutes=1)


@pytest.fixture
def parcel(owner: User, now: datetime, house: House) -> Parcel:
    """Packed and promised for Friday."""
    build = stands.to_pack(owner, now)
    Promise.objects.create(build=build, day=FRIDAY, at=now, by=owner)
    return make_parcel([build], owner, now)


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize(("after", "leaves"), [(-0.001, FRIDAY), (0, MONDAY)])
def test_parcel_moves_at_the_cut_off_and_not_before(
    zone: str, after: float, leaves: date, parcel: Parcel, house: House
) -> None:
    House.objects.update(zone_name=zone)
    house.refresh_from_db()
    moment = cut_off(house) + timedelta(seconds=after)
    assert day_of(parcel, calendar(house), moment) == leaves


@pytest.mark.parametrize(("after", "is_late"), [(-1, False), (0, True)])
def test_every_page_says_the_same_at_the_same_moment(
    after: int, is_late: bool, parcel: Parcel, house: House, now: datetime
) -> None:
    moment, diary = cut_off(house) + timedelta(seconds=after), calendar(house)
    leaves = MONDAY if is_late else FRIDAY
    build = Build.objects.get()
    rows = open_rows(diary, moment)
    assert [card.parcel for card in dispatch_day(leaves, diary, moment).packed] == [parcel]
    other = dispatch_day(FRIDAY if is_late else MONDAY, diary, moment)
    assert list(other.packed) == []
    assert bool(dispatch_day(FRIDAY, diary, moment).moved) is is_late
    assert rows[0].leaves == leaves
    assert rows[0].is_late is is_late
    assert any("still here" in want.why for want in wants(rows, diary, moment)) is is_late
    assert stand_of(build, diary, moment).is_left_behind is is_late
    assert stand_of(build, diary, moment).leaves == leaves


@pytest.mark.parametrize(("after", "is_late"), [(-1, False), (0, True)])
def test_reminder_says_late_at_the_same_moment(
    after: int, is_late: bool, owner: User, house: House, now: datetime
) -> None:
    House.objects.update(email="bench@larkhill.example")
    build = make_build(owner, now, State.TEST)
    Promise.objects.create(build=build, day=FRIDAY, at=now, by=owner)
    remind(cut_off(house) + timedelta(seconds=after))
    key = Message.objects.get(key__startswith="shipby").key
    assert (":late:" in key) is is_late
    diary, moment = calendar(house), cut_off(house) + timedelta(seconds=after)
    assert open_rows(diary, moment)[0].is_late is is_late


def test_nothing_is_promised_for_a_day_past_its_cut_off(
    owner: User, house: House, now: datetime
) -> None:
    build = make_build(owner, now)
    promise(build, FRIDAY, reason="", by=owner, now=cut_off(house) - timedelta(seconds=1))
    with pytest.raises(Refused, match="cut-off of that day is past"):
        promise(build, FRIDAY, reason="", by=owner, now=cut_off(house))


@dataclass(frozen=True)
class Turn:
    """A clock change, the dispatch day before it and the one after."""

    zone: str
    before: date
    after: date


@pytest.mark.parametrize(
    "turn",
    [
        Turn("Europe/London", date(2026, 3, 27), date(2026, 3, 30)),
        Turn("Europe/London", date(2026, 10, 23), date(2026, 10, 26)),
        Turn("America/New_York", date(2026, 3, 6), date(2026, 3, 9)),
        Turn("America/New_York", date(2026, 10, 30), date(2026, 11, 2)),
    ],
)
def test_clock_change_between_two_days_moves_nothing(
    turn: Turn, owner: User, house: House, now: datetime
) -> None:
    House.objects.update(zone_name=turn.zone)
    house.refresh_from_db()
    parcel = make_parcel([make_build(owner, now, State.DISPATCH)], owner, now)
    Parcel.objects.update(day=turn.before)
    parcel.refresh_from_db()
    diary = calendar(house)
    for day, following in ((turn.before, turn.after), (turn.after, date.max)):
        edge = datetime.combine(day, house.cut_off, ZoneInfo(turn.zone)) + timedelta(minutes=1)
        assert day_of(parcel, diary, edge.astimezone(UTC) - timedelta(seconds=1)) == day
        if following != date.max:
            assert day_of(parcel, diary, edge.astimezone(UTC)) == following


@pytest.mark.parametrize("cut", [time(1, 30), time(2, 30), time(23, 59)])
def test_cut_off_in_the_hour_that_repeats_comes_once(
    cut: time, owner: User, house: House, now: datetime
) -> None:
    House.objects.update(zone_name="Europe/London", cut_off=cut)
    house.refresh_from_db()
    diary, day = calendar(house), date(2026, 10, 25)
    edge = diary.cut_off_of(day)
    assert diary.first_day(edge - timedelta(microseconds=1)) == day
    assert diary.first_day(edge) == day + timedelta(days=1)
    assert diary.first_day(edge + timedelta(hours=1)) > day


def test_closure_over_the_next_day_is_stepped_over(parcel: Parcel, house: House) -> None:
    Closure.objects.create(first=MONDAY, last=MONDAY, reason="stocktaking")
    assert day_of(parcel, calendar(house), cut_off(house)) == date(2026, 12, 4)


def test_day_that_was_closed_since_moves_its_parcels(parcel: Parcel, house: House) -> None:
    Closure.objects.create(first=FRIDAY, last=FRIDAY, reason="stocktaking")
    wednesday = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
    diary = calendar(house)
    assert day_of(parcel, diary, wednesday) == MONDAY
    assert dispatch_day(FRIDAY, diary, wednesday).moved == [(parcel, MONDAY)]


def test_wording_with_the_new_day_is_ready_for_who_was_told_the_old_one(
    parcel: Parcel, house: House, owner: User, now: datetime
) -> None:
    build = Build.objects.get()
    diary = calendar(house)
    queue_message(
        key=f"ships_on:{build.pk}:{FRIDAY}", occasion="ships_on", about=build.about,
        customer=build.item.order.customer, to="wren@example.com", subject="Friday",
        body="It leaves on Friday.", made_by=owner, now=now + timedelta(minutes=1),
    )  # fmt: skip
    assert tellings(diary, cut_off(house) - timedelta(seconds=1)) == []
    (one,) = tellings(diary, cut_off(house))
    assert (one.occasion, one.day) == ("late", MONDAY)
    assert "Monday 30 November" in text_of(one, house).body


def test_customer_reads_the_new_day(parcel: Parcel, house: House) -> None:
    order = Build.objects.get().item.order
    edge = cut_off(house)
    for moment, leaves in ((edge - timedelta(seconds=1), FRIDAY), (edge, MONDAY)):
        (work,) = order_page(order, house, moment).works
        assert work.leaves == leaves


def test_day_that_was_missed_says_where_its_parcel_went(
    bench_client: Client, parcel: Parcel, house: House, clock: Clock
) -> None:
    clock.at = cut_off(house)
    page = words(bench_client.get("/dispatch/?day=2026-11-27"))
    assert "missed this day; it leaves Mon 30 Nov" in page
    page = words(bench_client.get("/dispatch/"))
    assert "did not leave on Fri 27 Nov; it goes with this one" in page
    assert "Tell Wren the new day" in page
