"""Money on a customer's page: what is open, how to pay, their own papers and no others'."""

from datetime import datetime
from decimal import Decimal
from uuid import uuid4

import pytest
from django.test import Client

from shop.models import House, Order, User
from shop.orders.actions.papers import issue
from shop.orders.actions.payments import pay
from shop.orders.models import Invoice
from shop.orders.queries.invoicing import PaperLine
from tests.makers import make_agreed
from tests.visitor import making

pytestmark = pytest.mark.django_db


@pytest.fixture
def order(owner: User, now: datetime) -> Order:
    order = making.order(making.customer(now), now)
    making.build(order, owner, now)
    return order


def page(order: Order, now: datetime) -> str:
    return f"/your/order/{making.token(making.link(order, now))}/"


def invoiced(order: Order, by: User, now: datetime) -> Invoice:
    line = PaperLine("kit", Decimal(1), 42_700)
    return issue(order, [line], token=uuid4(), by=by, now=now)


def test_no_money_no_word_of_it(order: Order, stranger: Client, now: datetime) -> None:
    assert "Money" not in stranger.get(page(order, now)).content.decode()


def test_deposit_is_asked_with_the_shops_words(
    order: Order, owner: User, stranger: Client, now: datetime
) -> None:
    House.objects.update(how_to_pay="Transfer $amount, naming $number")
    make_agreed(order, owner, now, 45_000, deposit=9_000)
    shown = stranger.get(page(order, now)).content.decode()
    assert f"Transfer 90.00, naming {order.number}" in shown
    pay(order, "deposit", 9_000, "cash", "", now.date(), token=uuid4(), by=owner, now=now)
    shown = stranger.get(page(order, now)).content.decode()
    assert f"Transfer 360.00, naming {order.number}" in shown


def test_words_of_the_shop_are_no_markup(
    order: Order, owner: User, stranger: Client, now: datetime
) -> None:
    House.objects.update(how_to_pay="<b>here</b> https://pay.example/$number")
    make_agreed(order, owner, now, 45_000)
    shown = stranger.get(page(order, now)).content.decode()
    assert "&lt;b&gt;here&lt;/b&gt;" in shown
    assert 'href="https://pay.example/' in shown


def test_their_paper_is_theirs_to_save(
    order: Order, owner: User, stranger: Client, now: datetime
) -> None:
    paper = invoiced(order, owner, now)
    answer = stranger.get(f"{page(order, now)}paper/{paper.number}/")
    assert answer.status_code == 200
    assert answer["Content-Disposition"] == 'attachment; filename="I2026-0001.pdf"'


def test_paper_of_another_order_is_unknown(
    order: Order, owner: User, stranger: Client, now: datetime
) -> None:
    other = making.order(making.customer(now, email="o@example.com"), now, number="2026-032")
    paper = invoiced(other, owner, now)
    assert stranger.get(f"{page(order, now)}paper/{paper.number}/").status_code == 404


def test_wrong_link_opens_no_paper(
    order: Order, owner: User, stranger: Client, now: datetime
) -> None:
    paper = invoiced(order, owner, now)
    assert stranger.get(f"/your/order/nonsense/paper/{paper.number}/").status_code == 404
