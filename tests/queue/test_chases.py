"""Holds to ask about again: the shop is reminded once, and asking sets the next day."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client

from builds.progress import actions as progress
from builds.progress.models import Hold
from builds.queue.actions import chase
from builds.queue.tasks import chase as chase_task
from shop.diary.models import Closure
from shop.history.models import Entry
from shop.history.queries import entries_about
from shop.house.models import House
from shop.models import Message, User
from tests.bench.pages import tap, words
from tests.makers import make_build, put_on_hold

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
# put_on_hold asks again five days after Wednesday 25 November: on Monday 30 November.
MONDAY = datetime(2026, 11, 30, 9, 0, tzinfo=UTC)


@pytest.fixture
def held(owner: User, now: datetime) -> Hold:
    found = put_on_hold(make_build(owner, now), owner, now)
    assert isinstance(found, Hold)
    return found


def ask(held: Hold, by: User, now: datetime = MONDAY) -> Hold:
    """Ask again as someone who sees the hold as it stands."""
    held.refresh_from_db()
    return progress.ask_again(held.pk, seen=held.chase_on, by=by, now=now)


def test_shop_is_reminded_on_the_day(held: Hold, house: House) -> None:
    assert chase(MONDAY - DAY) == 0
    assert chase(MONDAY) == 1
    message = Message.objects.get()
    assert message.key == f"chase:{held.pk}:2026-11-30"
    assert (message.to, message.about) == (house.email, held.build.about)
    assert "Customer's turn: which colour" in message.body
    assert "Monday 30 November" in message.body


def test_shop_is_not_reminded_before_it_opens(held: Hold) -> None:
    assert chase(MONDAY - timedelta(minutes=1)) == 0


def test_what_fell_on_a_closed_day_comes_with_the_next_working_day(held: Hold) -> None:
    Hold.objects.update(chase_on=date(2026, 11, 28))  # a Saturday
    assert [chase(MONDAY + n * DAY) for n in (-2, -1, 0)] == [0, 0, 1]


def test_a_closure_put_in_later_is_waited_out(held: Hold) -> None:
    Closure.objects.create(first=date(2026, 11, 28), last=date(2026, 12, 8))
    assert [n for n in range(14) if chase(MONDAY + n * DAY)] == [9]


def test_a_hold_is_never_asked_about_on_a_day_off(owner: User, now: datetime) -> None:
    Closure.objects.create(first=date(2026, 11, 30), last=date(2026, 12, 8))
    held = put_on_hold(make_build(owner, now), owner, now)
    assert held.chase_on == date(2026, 12, 9)


def test_the_sheet_says_that_the_day_was_moved(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    fields = {"reason": "answer", "words": "which colour", "turn": "customer", "before": ""}
    url = f"/build/{build.number}/hold/"
    answer = tap(bench_client, url, **fields, chase_on="2026-11-28")
    assert "On hold. Nobody works on the day to ask again, so it is asked on Monday 30" in words(
        answer
    )
    assert build.holds.get().chase_on == date(2026, 11, 30)


def test_reminding_twice_is_reminding_once(held: Hold, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("builds.queue.tasks.now", lambda: MONDAY)
    chase_task()
    chase_task()
    assert [chase(MONDAY + n * DAY) for n in range(4)] == [0, 0, 0, 0]
    assert Message.objects.count() == 1


def test_hold_that_is_over_is_not_asked_about(held: Hold, owner: User) -> None:
    progress.end_hold(held.pk, by=owner, now=MONDAY - DAY)
    assert chase(MONDAY) == 0


def test_shop_without_a_mailbox_is_not_written_to(held: Hold, house: House) -> None:
    House.objects.update(email="")
    assert chase(MONDAY) == 0


def test_each_asking_is_followed_by_a_longer_wait(held: Hold, owner: User) -> None:
    days = [ask(held, owner).chase_on for _time in range(3)]
    # The first three days went by with the hold itself; then 7, then 14 and no longer.
    assert days == [date(2026, 12, 7), date(2026, 12, 14), date(2026, 12, 14)]


def test_next_day_is_one_on_which_the_shop_works(held: Hold, owner: User) -> None:
    saturday = datetime(2026, 11, 28, 12, 0, tzinfo=UTC)
    assert ask(held, owner, saturday).chase_on == date(2026, 12, 7)


def test_second_tap_asks_no_second_time(held: Hold, owner: User) -> None:
    for _tap in range(2):
        progress.ask_again(held.pk, seen=date(2026, 11, 30), by=owner, now=MONDAY)
    held.refresh_from_db()
    assert held.asked == 1
    assert Entry.objects.filter(verb="asked_again").count() == 1


def test_hold_that_is_over_cannot_be_asked_about_again(held: Hold, owner: User) -> None:
    progress.end_hold(held.pk, by=owner, now=MONDAY)
    with pytest.raises(progress.Refused, match="over"):
        ask(held, owner)


def test_asking_is_in_history_with_its_next_day(held: Hold, owner: User) -> None:
    ask(held, owner)
    newest = entries_about(held.build.about)[0]
    assert newest.text == "Asked again: an answer: next time Mon 7 Dec 2026"


def test_new_day_is_reminded_of_anew(held: Hold, owner: User) -> None:
    chase(MONDAY)
    ask(held, owner)
    assert chase(MONDAY + DAY) == 0
    assert chase(MONDAY + 7 * DAY) == 1
