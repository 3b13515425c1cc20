"""Money from eight workers at once: real threads, each with its own connection."""

from collections import Counter
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest

from shop.models import Order, User
from shop.orders.actions.papers import credit, give_receipt, issue
from shop.orders.actions.payments import Refused, pay, take_back
from shop.orders.models import Invoice, Paid, Payment
from shop.orders.queries.invoicing import PaperLine
from shop.orders.queries.ledger import standing
from tests.makers import at_once, make_agreed, make_item

pytestmark = pytest.mark.django_db(transaction=True)
WORKERS = 8
LINE = PaperLine("work", Decimal(1), 1_001, 2_000)


def came(order: Order, amount: int, by: User, now: datetime, **more: Any) -> Payment:
    facts: dict[str, Any] = {"token": uuid4(), "kind": Paid.PAYMENT, **more}
    kind = facts.pop("kind")
    return pay(order, kind, amount, "cash", "", now.date(), by=by, now=now, **facts)


def work(orders: list[Order], worker: int, count: int, by: User, now: datetime) -> int:
    """Note and issue so many, in turn on each order; what came in all."""
    whole = 0
    for turn in range(count):
        order, amount = orders[(worker + turn) % len(orders)], 100 + worker * 7 + turn
        if turn % 2:
            issue(order, [LINE], token=uuid4(), by=by, now=now)
        else:
            whole += came(order, amount, by, now).amount_minor
    return whole


def put_to_work(count: int, by: User, now: datetime) -> None:
    """Payments and invoices from eight workers: the sums are exact, the numbers without gaps."""
    orders = [make_item(by, now).order for _ in range(3)]
    shares = [count // WORKERS + (worker < count % WORKERS) for worker in range(WORKERS)]
    answers = at_once(
        *[
            lambda n=n, share=share: work(orders, n, share, by, now)
            for n, share in enumerate(shares)
        ]
    )
    assert [answer for answer in answers if isinstance(answer, Exception)] == []
    invoices = sum(share // 2 for share in shares)
    numbers = sorted(Invoice.objects.values_list("number", flat=True))
    assert numbers == [f"I2026-{n:04d}" for n in range(1, invoices + 1)]
    assert Payment.objects.count() + len(numbers) == count
    stands = [standing(order) for order in orders]
    assert sum(one.received for one in stands) == sum(answers)
    assert sum(one.invoiced or 0 for one in stands) == invoices * 1_001


def test_eighty_payments_and_invoices_at_once(owner: User, now: datetime) -> None:
    put_to_work(80, owner, now)


@pytest.mark.fault
def test_five_hundred_payments_and_invoices_at_once(owner: User, now: datetime) -> None:
    put_to_work(500, owner, now)


def test_same_payment_from_many_threads_is_one(owner: User, now: datetime) -> None:
    order, token = make_item(owner, now).order, uuid4()
    answers = at_once(*[lambda: came(order, 500, owner, now, token=token)] * 6)
    assert {answer.pk for answer in answers} == {Payment.objects.get().pk}


def test_no_more_goes_back_than_came(owner: User, now: datetime) -> None:
    order = make_item(owner, now).order
    came(order, 500, owner, now)
    back = {"kind": Paid.REFUND, "because": "ended"}
    answers = at_once(*[lambda: came(order, 300, owner, now, **back)] * 4)
    assert Counter(map(type, answers)) == {Payment: 1, Refused: 3}
    assert standing(order).received == 200


def test_no_more_is_given_up_than_is_open(owner: User, now: datetime) -> None:
    order = make_item(owner, now).order
    make_agreed(order, owner, now, 500)
    off = {"kind": Paid.WRITTEN_OFF, "because": "gone"}
    answers = at_once(*[lambda: came(order, 500, owner, now, **off)] * 4)
    assert Counter(map(type, answers)) == {Payment: 1, Refused: 3}


def test_line_is_taken_back_once_by_two_owners(owner: User, now: datetime) -> None:
    row = came(make_item(owner, now).order, 500, owner, now)

    def back() -> Payment:
        return take_back(row, "a mistake", token=uuid4(), by=owner, now=now)

    answers = at_once(*[back] * 4)
    assert Counter(map(type, answers)) == {Payment: 1, Refused: 3}


def test_invoice_is_credited_once_and_a_receipt_given_once(owner: User, now: datetime) -> None:
    order = make_item(owner, now).order
    invoice = issue(order, [LINE], token=uuid4(), by=owner, now=now)
    row = came(order, 500, owner, now)

    def turn_round() -> Invoice:
        return credit(invoice, "wrong", token=uuid4(), by=owner, now=now)

    def receipt() -> Invoice:
        return give_receipt(row, token=uuid4(), by=owner, now=now)

    answers = at_once(*[turn_round] * 3, *[receipt] * 3)
    assert sum(isinstance(answer, Refused) for answer in answers) == 2
    assert Counter(Invoice.objects.values_list("paper", flat=True)) == {
        "invoice": 1, "credit": 1, "receipt": 1,
    }  # fmt: skip
