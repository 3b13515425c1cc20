"""Change orders hold the build that they are about, until they are answered."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest

from builds.progress import quoting
from builds.progress.actions import Refused, end_hold
from builds.progress.models import Build, Hold
from builds.progress.queries import open_holds
from builds.progress.states import State, Turn
from builds.queue.actions import promise
from builds.queue.queries import dues
from shop.diary.queries import calendar
from shop.models import House, Message, Quote, User
from shop.orders.actions import (
    LineFacts,
    draft_quote,
    quote_seen,
    save_draft,
    withdraw_quote,
)
from shop.orders.models import LineOf, QuoteKind
from shop.web.speech import speaking
from tests.makers import make_build

LINE = LineFacts(LineOf.HOURS, "Wiring", 6000, 8000, 4200, 2000)


@pytest.fixture
def build(owner: User, now: datetime, house: House) -> Build:
    """A build in teardown, agreed by a quote."""
    build = make_build(owner, now, State.TEARDOWN)
    first = draft_quote(build.item.order, token=uuid4(), by=owner, now=now)
    _priced_and_sent(first, owner, now)
    quoting.answer(first.pk, is_yes=True, how="mail", words="Yes.", by=owner, now=now)
    return build


def _priced_and_sent(draft: Quote, by: User, now: datetime) -> Quote:
    terms = {"because": draft.because, "minutes_so_far": draft.minutes_so_far}
    save_draft(draft.pk, [LINE], terms, seen=quote_seen(draft), by=by, now=now)
    quoting.send(draft.pk, seen=quote_seen(draft), by=by, now=now)
    draft.refresh_from_db()
    return draft


def begun(build: Build, by: User, now: datetime) -> Quote:
    return quoting.start_change(build, because="seized", minutes=55, token=uuid4(), by=by, now=now)


def held(build: Build) -> list[str]:
    return [each.turn for each in open_holds([build.pk]).get(build.pk, [])]


def test_begun_it_is_our_turn_and_sent_the_customers(
    build: Build, owner: User, bench_hand: User, now: datetime
) -> None:
    draft = begun(build, bench_hand, now)
    assert (draft.kind, draft.because, draft.minutes_so_far) == (QuoteKind.CHANGE, "seized", 55)
    assert held(build) == [Turn.SHOP]
    _priced_and_sent(draft, owner, now)
    assert held(build) == [Turn.CUSTOMER]
    assert "we found something" in Message.objects.get(key=f"quote:{draft.pk}").subject


def test_begun_twice_it_is_one_draft_and_one_hold(build: Build, owner: User, now: datetime) -> None:
    assert begun(build, owner, now) == begun(build, owner, now)
    assert held(build) == [Turn.SHOP]


def test_a_yes_ends_the_hold_by_itself(build: Build, owner: User, now: datetime) -> None:
    quote = _priced_and_sent(begun(build, owner, now), owner, now)
    later = now + timedelta(days=2)
    quoting.answer(quote.pk, is_yes=True, how="page", words="", by=None, now=later)
    assert held(build) == []
    waited = Hold.objects.get(quote=quote, turn=Turn.CUSTOMER)
    assert (waited.ended_at, waited.over_at) == (None, later)


def test_a_no_makes_it_our_turn(build: Build, owner: User, now: datetime) -> None:
    quote = _priced_and_sent(begun(build, owner, now), owner, now)
    for _ in range(2):
        quoting.answer(quote.pk, is_yes=False, how="page", words="", by=None, now=now)
    assert held(build) == [Turn.SHOP]
    assert "said no" in open_holds([build.pk])[build.pk][0].words


def test_nobody_ends_it_by_hand_while_it_waits(build: Build, owner: User, now: datetime) -> None:
    begun(build, owner, now)
    with pytest.raises(Refused, match="waits for the change order"):
        end_hold(open_holds([build.pk])[build.pk][0].pk, by=owner, now=now)


def test_withdrawn_it_holds_nothing(build: Build, owner: User, now: datetime) -> None:
    quote = _priced_and_sent(begun(build, owner, now), owner, now)
    withdraw_quote(quote.pk, by=owner, now=now)
    assert held(build) == []


def test_revised_it_is_our_turn_again(build: Build, owner: User, now: datetime) -> None:
    quote = _priced_and_sent(begun(build, owner, now), owner, now)
    revised = quoting.revise(quote.pk, by=owner, now=now)
    assert (revised.because, held(build)) == ("seized", [Turn.SHOP])


def test_the_days_that_they_took_to_answer_move_the_day_due(
    build: Build, owner: User, now: datetime
) -> None:
    diary = calendar(House.objects.get())
    promise(build, date(2026, 12, 4), reason="", by=owner, now=now)
    quote = _priced_and_sent(begun(build, owner, now), owner, now)
    answered = now + timedelta(days=3)
    quoting.answer(quote.pk, is_yes=True, how="page", words="", by=None, now=answered)
    due = dues([build.pk], diary, now + timedelta(days=9))[build.pk]
    assert (due.waited_days, due.is_waiting) == (3, False)


def test_sent_twice_it_is_one_mail_and_one_hold(build: Build, owner: User, now: datetime) -> None:
    draft = begun(build, owner, now)
    save_draft(draft.pk, [LINE], {"because": "seized"}, seen=quote_seen(draft), by=owner, now=now)
    seen = quote_seen(draft)
    for _ in range(2):
        quoting.send(draft.pk, seen=seen, by=owner, now=now)
    assert held(build) == [Turn.CUSTOMER]
    assert Message.objects.filter(key=f"quote:{draft.pk}").count() == 1


def test_without_an_address_it_stands_on_the_page_alone(
    build: Build, owner: User, now: datetime
) -> None:
    customer = build.item.order.customer
    customer.email = ""
    customer.save()
    draft = begun(build, owner, now)
    save_draft(draft.pk, [LINE], {"because": "seized"}, seen=quote_seen(draft), by=owner, now=now)
    assert quoting.send(draft.pk, seen=quote_seen(draft), by=owner, now=now) is None
    assert held(build) == [Turn.CUSTOMER]


def test_why_it_is_held_is_in_the_language_of_the_shop(
    build: Build, owner: User, now: datetime
) -> None:
    with speaking("de"):  # the customer answers on their own page, the owner reads German
        quote = _priced_and_sent(begun(build, owner, now), owner, now)
        quoting.answer(quote.pk, is_yes=False, how="page", words="", by=None, now=now)
    assert list(
        Hold.objects.filter(build=build).order_by("pk").values_list("words", flat=True)
    ) == [
        "A change order: to be priced and sent",
        "The answer to a change order",
        "They said no to the change order: how does it go on?",
    ]
