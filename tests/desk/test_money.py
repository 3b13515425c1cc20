"""The page of an order's money: the owner's alone, each deed once, nothing typed is lost."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from shop.models import House, Order, User
from shop.orders.actions.payments import pay
from shop.orders.models import Payment
from tests.makers import make_agreed, make_item

pytestmark = pytest.mark.django_db


@pytest.fixture
def order(owner: User, now: datetime) -> Order:
    order = make_item(owner, now).order
    make_agreed(order, owner, now, 45_000, deposit=9_000)
    return order


def at(order: Order, deed: str = "") -> str:
    return f"/orders/{order.number}/money/{deed}"


def paid(**more: Any) -> dict[str, Any]:
    facts = {"kind": "payment", "amount": "120.50", "way": "transfer", "paid_on": "2026-11-20"}
    return {"token": str(uuid4()), "reference": "July", **facts, **more}


def give(order: Order, amount: int, by: User, now: datetime) -> Payment:
    return pay(order, "payment", amount, "cash", "", now.date(), token=uuid4(), by=by, now=now)


def test_payment_is_noted_once_for_two_taps(order: Order, owner_client: Client) -> None:
    sent = paid()
    answers = [owner_client.post(at(order, "paid/"), sent) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [303, 303]
    row = Payment.objects.get()
    assert (row.amount_minor, row.kind, row.reference) == (12_050, "payment", "July")


def test_deposit_that_is_missing_stands_in_the_form(order: Order, owner_client: Client) -> None:
    shown = owner_client.get(at(order)).content.decode()
    assert 'value="90.00"' in shown
    assert "£90.00 to come" in shown


def test_rest_stands_in_the_form_when_the_deposit_is_in(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    give(order, 9_000, owner, now)
    assert 'value="360.00"' in owner_client.get(at(order)).content.decode()


def test_card_number_is_refused_and_the_rest_is_kept(order: Order, owner_client: Client) -> None:
    answer = owner_client.post(at(order, "paid/"), paid(reference="4242 4242 4242 4242"))
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert "That looks like the number of a card." in shown
    assert 'value="120.50"' in shown
    assert Payment.objects.count() == 0


def test_refund_names_its_reason_and_its_job(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    give(order, 9_000, owner, now)
    item = order.items.get()
    sent = paid(amount="40", because="withdrawn before work began", item=str(item.pk))
    assert owner_client.post(at(order, "refund/"), sent).status_code == 303
    row = Payment.objects.get(kind="refund")
    assert (row.because, row.item) == ("withdrawn before work began", item)


def test_refund_without_a_reason_is_shown_again(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    give(order, 9_000, owner, now)
    answer = owner_client.post(at(order, "refund/"), paid(amount="40"))
    assert answer.status_code == 422
    assert "Write down why" in answer.content.decode()


def test_write_off_settles(order: Order, owner_client: Client) -> None:
    sent = {"token": str(uuid4()), "amount": "450.00", "because": "never answered"}
    assert owner_client.post(at(order, "write-off/"), sent).status_code == 303
    assert "settled" in owner_client.get(at(order)).content.decode()


def test_line_taken_back_by_another_tablet_says_by_whom(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    row = give(order, 500, owner, now)
    for _ in range(2):
        owner_client.post(
            at(order, f"{row.pk}/take-back/"), {"token": str(uuid4()), "because": "wrong order"}
        )
    shown = owner_client.get(at(order)).content.decode()
    assert "Oda has taken this line back already." in shown
    assert Payment.objects.count() == 2


def test_line_of_another_order_is_not_found(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    other = give(make_item(owner, now).order, 500, owner, now)
    sent = {"token": str(uuid4()), "because": "x"}
    assert owner_client.post(at(order, f"{other.pk}/take-back/"), sent).status_code == 404


def test_bench_sees_no_money_on_the_order(
    order: Order, owner: User, bench_client: Client, now: datetime
) -> None:
    give(order, 9_000, owner, now)
    answer = bench_client.get(f"/orders/{order.number}/")
    assert answer.status_code == 200
    assert "£" not in answer.content.decode()
    assert bench_client.get(at(order)).status_code == 403


def test_owner_sees_what_is_open_on_the_order(order: Order, owner_client: Client) -> None:
    shown = owner_client.get(f"/orders/{order.number}/").content.decode()
    assert "£450.00" in shown
    assert "Note a payment" in shown


def test_currency_stays_once_a_sum_is_recorded(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    sent = {"country": "GB", "region": "", "zone_name": "Europe/London", "currency": "EUR"}
    answer = owner_client.post("/settings/where/", sent)
    assert answer.status_code == 422
    assert "so the currency stays" in answer.content.decode()
    assert House.objects.get().currency == "GBP"
