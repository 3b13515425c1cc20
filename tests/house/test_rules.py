"""What the database refuses of the shop's own rows: settings, counters, week, closures, people."""

from datetime import date, datetime, time
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from shop.house.actions import next_number
from shop.models import (
    Blob,
    Closure,
    Counter,
    House,
    Message,
    PrivateLink,
    Rendition,
    Throttle,
    User,
    Weekday,
    Wording,
)
from tests.makers import make_blob

pytestmark = pytest.mark.django_db
MOMENT = datetime(2026, 11, 25, 10, 40).astimezone()


def _message(**changed: Any) -> Message:
    facts = {
        "key": str(uuid4()), "occasion": "free", "to": "wren@example.com", "subject": "x",
        "body": "x", "message_id": str(uuid4()), "made_at": MOMENT, "not_before": MOMENT,
    }  # fmt: skip
    return Message(**{**facts, **changed})


def _link(**changed: Any) -> PrivateLink:
    facts = {"id": uuid4().hex[:16], "scope": "order", "about": "order:1", "made_at": MOMENT}
    return PrivateLink(**{**facts, **changed})


def _blob(**changed: Any) -> Blob:
    facts = {"sha256": "a" * 64, "size": 1, "media_type": "image/png", "kept_at": MOMENT}
    return Blob(**{**facts, **changed})


RULES: list[tuple[str, list[Any]]] = [
    ("a second house", [House(id=2, name="Other")]),
    ("two counters of a series", [Counter(series="x"), Counter(series="x")]),
    ("an eighth day", [Weekday(weekday=7)]),
    ("two Mondays", [Weekday(weekday=0)]),
    ("a closure that ends first", [Closure(first=date(2026, 5, 2), last=date(2026, 5, 1))]),
    ("a role nobody knows", [User(email="x@example.com", name="X", role="guest")]),
    ("one address twice", [User(email="x@example.com"), User(email="x@example.com")]),
    ("an empty blob", [_blob(size=0)]),
    ("one hash twice", [_blob(), _blob()]),
    ("a queued message to nobody", [_message(to="")]),
    ("a message state nobody knows", [_message(state="limbo")]),
    ("one message key twice", [_message(key="k"), _message(key="k")]),
    ("one message id twice", [_message(message_id="m"), _message(message_id="m")]),
    ("a link scope nobody knows", [_link(scope="all")]),
    ("two links about one thing", [_link(), _link()]),
    ("two wordings of an occasion", [Wording(occasion="free"), Wording(occasion="free")]),
    ("one throttle twice", [Throttle(key="k", since=MOMENT), Throttle(key="k", since=MOMENT)]),
]


@pytest.mark.parametrize("rows", [rule[1] for rule in RULES], ids=[rule[0] for rule in RULES])
def test_database_refuses(rows: list[Any], house: House) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        type(rows[0]).objects.bulk_create(rows)


def test_database_refuses_a_day_that_closes_before_it_opens(house: House) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        Weekday.objects.filter(weekday=0).update(opens=time(18), closes=time(9))


def test_database_refuses_one_rendition_twice(house: House, now: datetime) -> None:
    facts = {"blob": make_blob(now), "longest_side": 320, "width": 1, "height": 1, "size": 1}
    with pytest.raises(IntegrityError), transaction.atomic():
        Rendition.objects.bulk_create([Rendition(**facts), Rendition(**facts)])


def test_message_without_an_address_may_be_logged(house: House) -> None:
    Message.objects.bulk_create([_message(to="", state="logged")])
    assert Message.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_number_outside_a_transaction_is_a_broken_caller(house: House) -> None:
    with pytest.raises(RuntimeError, match="inside the transaction"):
        next_number("x")
