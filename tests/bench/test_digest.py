"""The morning's list: once each working day as the shop opens, in the shop's own time."""

from datetime import UTC, date, datetime, timedelta

import pytest

from builds.bench.actions.digest import send_digest
from builds.bench.tasks import digest
from shop.diary.models import Closure, Weekday
from shop.house.models import House
from shop.models import Message, User
from tests.makers import at_once, make_arrival

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)
DAY = timedelta(days=1)
NINE = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)  # a Wednesday, in London's winter


@pytest.fixture
def parcel(owner: User, now: datetime) -> None:
    """Something that wants the shop: a parcel that nobody has placed."""
    make_arrival(owner, now - DAY)


def sent_at(first: datetime, last: datetime) -> list[datetime]:
    """The moments between two at which the list went out, looked at every ten minutes."""
    moments = (first + n * 10 * MINUTE for n in range(int((last - first) / MINUTE) // 10))
    return [moment for moment in moments if send_digest(moment)]


def test_list_goes_out_as_the_shop_opens_and_once(parcel: None, house: House) -> None:
    assert sent_at(NINE - 60 * MINUTE, NINE + 60 * MINUTE) == [NINE]
    message = Message.objects.get()
    assert (message.key, message.to) == ("digest:2026-11-25", house.email)
    assert message.subject == "What wants you on Wednesday 25 November"
    assert "- A parcel that nobody has placed: from nobody named, Tue 24 Nov" in message.body


def test_task_run_twice_sends_once(parcel: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("builds.bench.tasks.now", lambda: NINE)
    digest()
    digest()
    assert Message.objects.filter(occasion="digest").count() == 1


def test_next_morning_has_a_list_of_its_own(parcel: None) -> None:
    assert send_digest(NINE)
    assert send_digest(NINE + DAY)


def test_machine_that_was_off_in_the_morning_sends_it_later(parcel: None) -> None:
    assert send_digest(NINE + timedelta(hours=5))


def test_no_list_where_nothing_wants_the_shop(owner: User) -> None:
    assert send_digest(NINE) is None


def test_what_comes_later_that_day_waits_for_the_next_morning(owner: User) -> None:
    send_digest(NINE)
    make_arrival(owner, NINE)
    assert send_digest(NINE + MINUTE) is None
    assert send_digest(NINE + DAY)


def test_no_list_on_a_day_off(parcel: None) -> None:
    saturday = NINE + 3 * DAY
    assert sent_at(saturday, saturday + DAY) == []


def test_no_list_on_a_closed_day(parcel: None) -> None:
    Closure.objects.create(first=NINE.date(), last=NINE.date(), reason="stock-taking")
    assert send_digest(NINE + MINUTE) is None


def test_no_list_on_a_public_holiday(parcel: None) -> None:
    assert send_digest(datetime(2026, 12, 25, 10, 0, tzinfo=UTC)) is None


def test_no_list_for_a_shop_without_a_mailbox(parcel: None) -> None:
    House.objects.update(email="")
    assert send_digest(NINE) is None


@pytest.mark.parametrize(
    ("zone", "change", "opens_utc"),
    [
        ("Europe/London", date(2026, 3, 29), 8),  # clocks went forward: nine is eight in UTC
        ("Europe/London", date(2026, 10, 25), 9),
        ("America/New_York", date(2026, 3, 8), 13),
        ("America/New_York", date(2026, 11, 1), 14),
    ],
)
def test_on_the_day_the_clocks_change_it_comes_at_nine_and_once(
    parcel: None, zone: str, change: date, opens_utc: int
) -> None:
    House.objects.update(zone_name=zone)
    Weekday.objects.filter(weekday=change.weekday()).update(opens="09:00", closes="17:30")
    opens = datetime(change.year, change.month, change.day, opens_utc, tzinfo=UTC)
    half_a_day = timedelta(hours=8)
    assert sent_at(opens - half_a_day, opens + half_a_day) == [opens]
    assert Message.objects.get().key == f"digest:{change.isoformat()}"


@pytest.mark.django_db(transaction=True)
def test_two_workers_at_once_send_it_once(parcel: None) -> None:
    answers = at_once(lambda: send_digest(NINE), lambda: send_digest(NINE))
    assert not [one for one in answers if isinstance(one, Exception)]
    assert len([one for one in answers if one]) == 1
    assert Message.objects.filter(occasion="digest").count() == 1
