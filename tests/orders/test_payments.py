"""The ledger of an order: what it refuses, what it adds up to, and that it only grows."""

from datetime import date, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.db import DatabaseError, IntegrityError, transaction

from shop.history.models import Entry
from shop.models import Order, User
from shop.orders.actions.payments import Refused, pay, take_back
from shop.orders.models import Account, Paid, Payment
from shop.orders.queries.ledger import has_money, standing, standings
from shop.stores.models import Part
from tests.makers import make_agreed, make_customer, make_item, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture
def order(owner: User, now: datetime) -> Order:
    """An order of 450.00, 90.00 of it as deposit."""
    order = make_item(owner, now).order
    make_agreed(order, owner, now, 45_000, deposit=9_000)
    return order


def put(order: Order, kind: str, amount: int, by: User, now: datetime, **more: Any) -> Payment:
    facts: dict[str, Any] = {"token": uuid4(), "reference": "INV 1", "paid_on": now.date(), **more}
    words = facts.pop("reference"), facts.pop("paid_on")
    return pay(order, kind, amount, "transfer", *words, by=by, now=now, **facts)


def test_nothing_agreed_is_nothing_open(owner: User, now: datetime) -> None:
    stands = standing(make_item(owner, now).order)
    assert (stands.charged, stands.due, stands.is_of_money) == (None, 0, False)


def test_deposit_is_asked_until_it_is_in(order: Order, owner: User, now: datetime) -> None:
    assert standing(order).deposit_due == 9_000
    put(order, Paid.DEPOSIT, 4_000, owner, now)
    assert standing(order).deposit_due == 5_000
    put(order, Paid.PAYMENT, 5_000, owner, now)
    assert standing(order).deposit_due == 0


def test_on_account_no_deposit_is_asked(order: Order, owner: User, now: datetime) -> None:
    account = Account.objects.create(customer=order.customer)
    assert (standing(order).deposit_due, standing(order).on_account) == (0, True)
    account.closed_at = now
    account.save()
    assert standing(order).deposit_due == 9_000


def test_balance_is_what_was_agreed_less_what_stayed(
    order: Order, owner: User, now: datetime
) -> None:
    put(order, Paid.DEPOSIT, 9_000, owner, now)
    put(order, Paid.PAYMENT, 30_000, owner, now)
    put(order, Paid.REFUND, 2_000, owner, now, because="a switch less")
    put(order, Paid.WRITTEN_OFF, 1_000, owner, now, because="our delay")
    stands = standing(order)
    assert (stands.received, stands.refunded, stands.written_off) == (37_000, 2_000, 1_000)
    assert stands.balance == 45_000 - 37_000 - 1_000


def test_newest_accepted_revision_is_what_was_agreed(
    order: Order, owner: User, now: datetime
) -> None:
    make_agreed(order, owner, now, 52_000, deposit=9_000)
    assert standing(order).agreed == 52_000


def test_too_much_is_told_as_such(order: Order, owner: User, now: datetime) -> None:
    put(order, Paid.PAYMENT, 46_000, owner, now)
    stands = standing(order)
    assert (stands.due, stands.too_much, stands.is_settled) == (0, 1_000, True)


@pytest.mark.parametrize("kind", [Paid.PAYMENT, Paid.REFUND, Paid.WRITTEN_OFF])
def test_line_taken_back_counts_for_nothing(
    kind: str, order: Order, owner: User, now: datetime
) -> None:
    put(order, Paid.DEPOSIT, 9_000, owner, now)
    before = standing(order)
    row = put(order, kind, 500, owner, now, because="a test")
    take_back(row, "typed on the wrong order", token=uuid4(), by=owner, now=now)
    assert standing(order) == before


def test_line_is_taken_back_once(order: Order, owner: User, now: datetime) -> None:
    row, token = put(order, Paid.PAYMENT, 500, owner, now), uuid4()
    back = take_back(row, "twice in the books", token=token, by=owner, now=now)
    assert take_back(row, "twice in the books", token=token, by=owner, now=now) == back
    with pytest.raises(Refused, match="Oda has taken this line back already"):
        take_back(row, "again", token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="takes another back"):
        take_back(back, "after all", token=uuid4(), by=owner, now=now)


def test_same_token_is_one_line(order: Order, owner: User, now: datetime) -> None:
    token = uuid4()
    rows = {put(order, Paid.PAYMENT, 500, owner, now, token=token).pk for _ in range(2)}
    assert len(rows) == 1
    assert Entry.objects.filter(verb="payment_noted").count() == 1


def test_history_names_no_sum(order: Order, owner: User, now: datetime) -> None:
    put(order, Paid.PAYMENT, 12_345, owner, now)
    assert Entry.objects.get(verb="payment_noted").parameters == {"kind": "payment"}


@pytest.mark.parametrize(
    ("kind", "amount", "more", "why"),
    [
        (Paid.PAYMENT, 0, {}, "Write a sum above nothing."),
        (Paid.REFUND, 100, {"because": "x"}, "No more can go back than came in: £0.00."),
        (Paid.WRITTEN_OFF, 45_001, {"because": "x"},
         "No more can be given up than is open: £450.00."),
        (Paid.WRITTEN_OFF, 100, {}, "Write down why; it stays beside the sum."),
        (Paid.REFUND, 100, {"because": " "}, "Write down why; it stays beside the sum."),
        (Paid.PAYMENT, 100, {"paid_on": date(2026, 11, 26)},
         "Thursday 26 November is still to come."),
        (Paid.PAYMENT, 100, {"reference": "4242 4242 4242 4242"},
         "That looks like the number of a card. None is ever kept here: leave it out."),
        (Paid.WRITTEN_OFF, 100, {"because": "card 4242424242424242"},
         "That looks like the number of a card. None is ever kept here: leave it out."),
    ],
)  # fmt: skip
def test_refuses(
    kind: str,
    amount: int,
    more: dict[str, Any],
    why: str,
    order: Order,
    owner: User,
    now: datetime,
) -> None:
    with pytest.raises(Refused) as refusal:
        put(order, kind, amount, owner, now, **more)
    assert str(refusal.value) == why
    assert Payment.objects.count() == 0


def test_ledger_only_grows(order: Order, owner: User, now: datetime) -> None:
    row = put(order, Paid.PAYMENT, 500, owner, now)
    for deed in (row.delete, lambda: Payment.objects.update(amount_minor=1)):
        with pytest.raises(DatabaseError), transaction.atomic():
            deed()


def test_database_refuses_a_refund_without_a_reason(
    order: Order, owner: User, now: datetime
) -> None:
    row = put(order, Paid.PAYMENT, 500, owner, now)
    row.pk, row.token, row.kind = None, uuid4(), Paid.REFUND
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save(force_insert=True)


def test_standings_of_many_cost_what_those_of_one_do(
    owner: User, now: datetime, django_assert_num_queries: Any
) -> None:
    orders = [make_item(owner, now, make_customer(now)).order for _ in range(5)]
    with django_assert_num_queries(4):
        assert len(standings(order.pk for order in orders)) == 5


def test_currency_is_fixed_by_the_first_sum(owner: User, now: datetime) -> None:
    order = make_item(owner, now).order
    assert not has_money()
    put(order, Paid.PAYMENT, 500, owner, now)
    assert has_money()


@pytest.mark.parametrize("name", ["cost_minor", "price_minor"])
def test_a_parts_price_fixes_the_currency_too(name: str, owner: User, now: datetime) -> None:
    part = make_part(owner, now)
    assert not has_money()
    Part.objects.filter(pk=part.pk).update(**{name: 250})
    assert has_money()
