"""Orders, items, answers: the database's rules, numbers of the year, and what is kept."""

from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from shop.history.models import Entry
from shop.house.models import Counter, House
from shop.models import Answer, Item, Order, User
from shop.orders.actions import add_item, place_order, record_answer
from shop.orders.models import ItemKind
from shop.orders.queries import newest_answers
from tests.makers import make_customer, make_item

pytestmark = pytest.mark.django_db


def refused(*rows: Any) -> bool:
    """Whether the database refuses rows that no action has looked at."""
    try:
        with transaction.atomic():
            type(rows[0]).objects.bulk_create(rows)
    except IntegrityError:
        return True
    return False


def test_database_refuses_an_order_token_twice(owner: User, now: datetime) -> None:
    facts = {"customer": make_customer(now), "placed_at": now, "token": uuid4()}
    assert refused(Order(number="2026-901", **facts), Order(number="2026-902", **facts))


def test_database_refuses_an_order_number_twice(owner: User, now: datetime) -> None:
    facts = {"customer": make_customer(now), "placed_at": now, "number": "2026-901"}
    assert refused(Order(token=uuid4(), **facts), Order(token=uuid4(), **facts))


@pytest.mark.parametrize(("kind", "quantity"), [("job", 2), ("job", 0), ("goods", 0), ("wish", 1)])
def test_database_refuses_an_item(kind: str, quantity: int, owner: User, now: datetime) -> None:
    order = make_item(owner, now).order
    assert refused(Item(order=order, kind=kind, wanted="x", quantity=quantity))


def test_same_token_is_one_order(owner: User, now: datetime) -> None:
    customer, token = make_customer(now), uuid4()
    first = place_order(customer, token=token, by=owner, now=now)
    assert place_order(customer, token=token, by=owner, now=now) == first
    assert Entry.objects.filter(verb="order_placed").count() == 1


@pytest.mark.parametrize(
    ("zone", "number"), [("Europe/London", "2026-001"), ("Pacific/Auckland", "2027-001")]
)
def test_year_of_a_number_is_the_shops(zone: str, number: str, owner: User) -> None:
    House.objects.update(zone_name=zone)
    eve = datetime(2026, 12, 31, 18, 0, tzinfo=UTC)
    assert place_order(make_customer(eve), token=uuid4(), by=owner, now=eve).number == number


def test_order_that_failed_leaves_no_gap(owner: User, now: datetime) -> None:
    customer = make_customer(now)
    with transaction.atomic():
        place_order(customer, token=uuid4(), by=owner, now=now)
        transaction.set_rollback(True)
    assert place_order(customer, token=uuid4(), by=owner, now=now).number == "2026-001"
    assert Counter.objects.get(series="orders-2026").last == 1


def test_newest_answer_counts_and_the_older_one_stays(owner: User, now: datetime) -> None:
    item = make_item(owner, now)
    for is_yes in (True, False):
        record_answer(
            item, kind="agreed", is_yes=is_yes, text="as said", how="chat", by=owner, now=now
        )
    assert newest_answers([item.pk])[(item.pk, "agreed")].is_yes is False
    assert item.answers.count() == 2


def test_goods_may_be_many(owner: User, now: datetime) -> None:
    order = make_item(owner, now).order
    assert add_item(order, ItemKind.GOODS, "spare cell", owner, now, quantity=3).quantity == 3


@pytest.mark.parametrize("change", [{"kind": "weather"}, {"how": "by pigeon"}])
def test_database_refuses_an_answer_of_no_known_kind_or_way(
    change: dict[str, str], owner: User, now: datetime
) -> None:
    facts = {"kind": "agreed", "how": "mail", **change}
    assert refused(Answer(item=make_item(owner, now), is_yes=True, text="yes", at=now, **facts))
