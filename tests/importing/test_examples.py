"""The example sheets: matched by themselves, clean, brought in, taken back."""

from datetime import datetime, timedelta

import pytest

from builds.importing.columns import example, fields, guess
from builds.importing.sheets import look, read
from builds.importing.states import Kind, State
from builds.progress.models import Build, Move
from builds.progress.states import State as Stage
from shop.people.models import Customer, User
from shop.stores.models import Part, StockLevel, StockRow
from shop.web.speech import speaking
from tests.importing.sheets import bring_in, checked, fresh, kept, said, undone

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("kind", Kind.values)
def test_every_heading_of_an_example_is_matched(kind: str) -> None:
    content = example(kind)
    headers = read(content, look(content).reading).headers
    found = guess(kind, headers)
    assert sorted(found.values()) == list(range(len(headers)))
    assert found.keys() <= fields(kind).keys()


def test_the_examples_are_brought_in_one_after_the_other(owner: User, now: datetime) -> None:
    for kind in Kind.values:
        one = checked(example(kind), kind, owner, now)
        assert said(one) == {}, kind
        assert kept(one, owner, now).state == State.KEPT
    assert fresh(one).changed == 3  # the last one, of stock
    assert Customer.objects.count() == 3
    assert Build.objects.filter(state=Stage.BOOKED).count() == 3
    assert Part.objects.get(name="speaker 28 mm, 8 Ω").level.on_hand == 12


def test_customers_are_taken_back(owner: User, now: datetime) -> None:
    one = bring_in(example("customers"), "customers", owner, now)
    assert undone(one, owner, now + timedelta(minutes=5)).state == State.UNDONE
    assert not Customer.objects.exists()


def test_orders_are_taken_back(owner: User, now: datetime) -> None:
    one = bring_in(example("orders"), "orders", owner, now)
    assert undone(one, owner, now + timedelta(minutes=5)).state == State.UNDONE
    assert set(Build.objects.values_list("state", flat=True)) == {Stage.WITHDRAWN}


def test_parts_are_taken_back(owner: User, now: datetime) -> None:
    one = bring_in(example("parts"), "parts", owner, now)
    assert undone(one, owner, now + timedelta(minutes=5)).state == State.UNDONE
    assert set(Part.objects.values_list("retired", flat=True)) == {True}


def test_stock_is_taken_back_by_counter_rows(owner: User, now: datetime) -> None:
    bring_in(example("parts"), "parts", owner, now)
    one = bring_in(example("stock"), "stock", owner, now)
    assert undone(one, owner, now + timedelta(minutes=5)).state == State.UNDONE
    assert set(StockLevel.objects.values_list("on_hand", flat=True)) == {0}
    assert StockRow.objects.count() == 6


@pytest.mark.parametrize("kind", ["stock", "orders"])
def test_why_it_was_taken_back_is_in_the_language_of_the_shop(
    kind: str, owner: User, now: datetime
) -> None:
    if kind == "stock":
        bring_in(example("parts"), "parts", owner, now)
    one = bring_in(example(kind), kind, owner, now)
    with speaking("de"):
        undone(one, owner, now + timedelta(minutes=5))
    if kind == "stock":
        assert StockRow.objects.filter(reason=f"taken back: {one.file_name}").count() == 3
    else:
        reasons = {move.reason for move in Move.objects.filter(to_state=Stage.WITHDRAWN)}
        assert reasons == {f"Taken back: brought in from {one.file_name}"}
