"""Two tablets send the same form at the same moment."""

from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection

from builds.desk.actions.orders import Job, book_job, keep_answer, write_down_customer
from builds.progress.models import Build
from shop.models import Answer, Customer, Order, User
from tests.desk.conftest import Booker

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(deed: Any, times: int = 4) -> list[Any]:
    def one(_nth: int) -> Any:
        try:
            return deed()
        finally:
            connection.close()

    with ThreadPoolExecutor(times) as tablets:
        return list(tablets.map(one, range(times)))


def test_one_order_is_placed(owner: User, now: datetime) -> None:
    token = uuid4()
    job = Job(kind="full", leaves_by="post", wanted="Blue", hilt_name="Copperfen")
    facts = {"called": "Abel", "full_name": "Abel", "email": "abel@example.com"}
    placed = at_once(lambda: book_job(job, customer=facts, token=token, by=owner, now=now))
    assert len({order.pk for order in placed}) == 1
    assert (Order.objects.count(), Build.objects.count(), Customer.objects.count()) == (1, 1, 1)


def test_one_customer_is_written_down(owner: User, now: datetime) -> None:
    token, facts = uuid4(), {"called": "Abel", "full_name": "Abel"}
    at_once(lambda: write_down_customer(facts, token=token, by=owner, now=now))
    assert Customer.objects.count() == 1


def test_one_answer_is_kept(booked: Booker, owner: User, now: datetime) -> None:
    item = booked().items.get()
    said = {"kind": "heat", "is_yes": True, "text": "Go on", "how": "chat"}
    at_once(lambda: keep_answer(item, **said, by=owner, now=now))
    assert Answer.objects.count() == 1
