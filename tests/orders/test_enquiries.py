"""Enquiries: noted once, answered, ordered or lost with the reason, and held by the database."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest
from django.db import IntegrityError, transaction

from shop.history.queries import entries_about
from shop.models import Entry, Order, User
from shop.orders import enquiries as actions
from shop.orders.actions import place_order
from shop.orders.models import Enquiry
from shop.orders.queries import enquiries, enquiry_counts, unanswered_since
from tests.makers import at_once, make_customer


def note(by: User, now: datetime, token: UUID | None = None, **more: Any) -> Enquiry:
    fields = {"called": "Pim", "contact": "pim@example.com", "wishes": "a new board", **more}
    return actions.note_enquiry(fields, token=token or uuid4(), by=by, now=now)


@pytest.fixture
def enquiry(owner: User, now: datetime) -> Enquiry:
    return note(owner, now)


@pytest.fixture
def order(owner: User, now: datetime) -> Order:
    return place_order(make_customer(now), token=uuid4(), by=owner, now=now)


def test_same_token_is_one_enquiry(owner: User, now: datetime) -> None:
    token = uuid4()
    assert note(owner, now, token) == note(owner, now, token)
    assert Entry.objects.filter(verb="enquiry_noted").count() == 1


def test_answered_twice_is_answered_once(enquiry: Enquiry, owner: User, now: datetime) -> None:
    for _ in range(2):
        actions.mark_answered(enquiry.pk, owner, now)
    assert Entry.objects.filter(verb="enquiry_answered").count() == 1


def test_lost_wants_its_reason(enquiry: Enquiry, owner: User, now: datetime) -> None:
    with pytest.raises(actions.Refused, match="why"):
        actions.mark_lost(enquiry.pk, "  ", owner, now)
    actions.mark_lost(enquiry.pk, "too dear", owner, now)
    assert entries_about(enquiry.about)[0].text == "Enquiry came to nothing: too dear"


def test_lost_one_is_opened_again_without_its_reason(
    enquiry: Enquiry, owner: User, now: datetime
) -> None:
    actions.mark_lost(enquiry.pk, "too dear", owner, now)
    opened = actions.mark_open(enquiry.pk, owner, now)
    assert (opened.state, opened.why_lost) == ("open", "")


@pytest.mark.parametrize("deed", [actions.mark_answered, actions.mark_open])
def test_ordered_one_stays_settled(
    deed: Any, enquiry: Enquiry, order: Order, owner: User, now: datetime
) -> None:
    actions.mark_ordered(enquiry.pk, order, owner, now)
    with pytest.raises(actions.Refused, match="order"):
        deed(enquiry.pk, owner, now)


def test_ordered_one_knows_its_customer(
    enquiry: Enquiry, order: Order, owner: User, now: datetime
) -> None:
    found = actions.mark_ordered(enquiry.pk, order, owner, now)
    assert (found.customer, found.who) == (order.customer, "Wren")


def test_second_order_of_one_enquiry_is_refused(
    enquiry: Enquiry, order: Order, owner: User, now: datetime
) -> None:
    actions.mark_ordered(enquiry.pk, order, owner, now)
    other = place_order(order.customer, token=uuid4(), by=owner, now=now)
    with pytest.raises(actions.Refused, match=order.number):
        actions.mark_ordered(enquiry.pk, other, owner, now)


def test_change_names_what_changed(enquiry: Enquiry, owner: User, now: datetime) -> None:
    fields = {"wishes": "two boards", "deadline": date(2026, 12, 14)}
    for _ in range(2):
        actions.change_enquiry(enquiry.pk, fields, owner, now)
    changed = Entry.objects.get(verb="enquiry_changed")
    assert changed.parameters == {"fields": ["deadline", "wishes"]}


def test_unanswered_ones_come_by_their_age(owner: User, now: datetime) -> None:
    young, old = note(owner, now), note(owner, now - timedelta(days=3))
    answered = note(owner, now - timedelta(days=4))
    actions.mark_answered(answered.pk, owner, now)
    assert list(enquiries()) == [old, young]
    assert list(unanswered_since(now - timedelta(days=2))) == [old]
    assert enquiry_counts() == {"open": 2, "answered": 1, "ordered": 0, "lost": 0}


@pytest.mark.parametrize(
    ("facts", "rule"),
    [
        ({"state": "dreamt"}, "enquiry_state_known"),
        ({"called": ""}, "enquiry_of_somebody"),
        ({"state": "lost"}, "enquiry_lost_says_why"),
        ({"why_lost": "too dear"}, "enquiry_lost_says_why"),
        ({"state": "ordered"}, "enquiry_ordered_has_its_order"),
    ],
)
def test_database_refuses(facts: dict[str, str], rule: str, enquiry: Enquiry) -> None:
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        Enquiry.objects.filter(pk=enquiry.pk).update(**facts)


@pytest.mark.django_db(transaction=True)
def test_two_tablets_settle_it_once(
    enquiry: Enquiry, order: Order, owner: User, now: datetime
) -> None:
    answers = at_once(
        lambda: actions.mark_ordered(enquiry.pk, order, owner, now),
        lambda: actions.mark_lost(enquiry.pk, "too late", owner, now),
    )
    refused = [one for one in answers if isinstance(one, Exception)]
    found = Enquiry.objects.get()
    # Lost first, an order may still come of it; ordered first, it cannot be lost.
    assert found.state == "ordered"
    assert all(isinstance(one, actions.Refused) for one in refused)
