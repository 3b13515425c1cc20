"""The stock ledger: what each deed does to it, and what it refuses."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.db.models import Sum

from shop.models import User
from shop.stores.actions import Overtaken, Refused, Short, stock
from shop.stores.models import Part, Reservation, StockLevel, StockRow
from tests.makers import make_part

pytestmark = pytest.mark.django_db
BUILD = {"about": "build:142", "whose": "0142 Copperfen"}


@pytest.fixture
def part(owner: User, now: datetime) -> Part:
    return make_part(owner, now, 5, name="speaker, 28 mm")


def level(part: Part) -> tuple[int, int]:
    """On hand and reserved, which are the sums of the ledger."""
    found = StockLevel.objects.get(part=part)
    sums = StockRow.objects.filter(part=part).aggregate(
        on_hand=Sum("on_hand_change"), reserved=Sum("reserved_change")
    )
    assert (sums["on_hand"] or 0, sums["reserved"] or 0) == (found.on_hand, found.reserved)
    return found.on_hand, found.reserved


def reserve(part: Part, quantity: int, by: User, now: datetime) -> Reservation:
    return stock.reserve(part, quantity, **BUILD, token=uuid4(), by=by, now=now)


def test_each_deed_moves_row_and_level_together(part: Part, owner: User, now: datetime) -> None:
    deed = {"by": owner, "now": now}
    first, second = reserve(part, 2, owner, now), reserve(part, 1, owner, now)
    assert level(part) == (5, 3)
    stock.fit(first, token=uuid4(), **deed)
    assert level(part) == (3, 1)
    stock.release(second, token=uuid4(), **deed)
    assert level(part) == (3, 0)
    stock.put_back(part, 1, **BUILD, token=uuid4(), **deed, reason="came out whole")
    assert level(part) == (4, 0)
    stock.write_off(part, 3, reason="cone torn", token=uuid4(), **deed)
    assert level(part) == (1, 0)
    stock.count(part, 2, seen=1, token=uuid4(), **deed)
    assert level(part) == (2, 0)
    deeds = [row.deed for row in part.ledger.order_by("pk")]
    assert deeds == [
        "received", "reserved", "reserved", "fitted", "released", "returned", "written-off",
        "counted",
    ]  # fmt: skip


def test_a_row_keeps_who_when_what_for_and_why(part: Part, owner: User, now: datetime) -> None:
    held = reserve(part, 2, owner, now)
    row = stock.release(held, token=uuid4(), by=owner, now=now, reason=" another speaker ")
    assert (row.by, row.at, row.about, row.whose) == (owner, now, *BUILD.values())
    assert (row.reason, row.reservation) == ("another speaker", held)


def test_a_double_tap_does_it_once(part: Part, owner: User, now: datetime) -> None:
    token, deed = uuid4(), {"by": owner, "now": now}
    held = [stock.reserve(part, 2, **BUILD, token=token, **deed) for _tap in range(2)]
    assert held[0] == held[1]
    token = uuid4()
    assert stock.fit(held[0], token=token, **deed) == stock.fit(held[0], token=token, **deed)
    token = uuid4()
    for _tap in range(2):
        stock.receive(part, 10, token=token, **deed)
    assert level(part) == (13, 0)


def test_a_token_spent_on_another_deed_is_refused(part: Part, owner: User, now: datetime) -> None:
    token = uuid4()
    stock.receive(part, 1, token=token, by=owner, now=now)
    with pytest.raises(Refused, match="out of date"):
        stock.write_off(part, 1, reason="lost", token=token, by=owner, now=now)


def test_more_than_is_free_is_refused_and_says_who_has_it(
    part: Part, owner: User, bench_hand: User, now: datetime
) -> None:
    reserve(part, 4, bench_hand, now)
    with pytest.raises(Short) as refused:
        reserve(part, 2, owner, now)
    assert str(refused.value) == (
        "speaker, 28 mm: 2 wanted, 1 free. Jory reserved 4 for 0142 Copperfen."
    )
    with pytest.raises(Short, match="2 wanted, 1 free"):
        stock.write_off(part, 2, reason="lost", token=uuid4(), by=owner, now=now)
    assert level(part) == (5, 4)


def test_what_is_fitted_is_not_released(
    part: Part, owner: User, bench_hand: User, now: datetime
) -> None:
    held = reserve(part, 1, owner, now)
    stock.fit(held, token=uuid4(), by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory has fitted it already"):
        stock.release(held, token=uuid4(), by=owner, now=now)
    other = reserve(part, 1, owner, now)
    stock.release(other, token=uuid4(), by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory has released it already"):
        stock.fit(other, token=uuid4(), by=owner, now=now)
    assert level(part) == (4, 0)


def test_a_count_against_an_older_page_is_refused(
    part: Part, owner: User, bench_hand: User, now: datetime
) -> None:
    stock.receive(part, 5, token=uuid4(), by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory changed stock meanwhile: 10 on hand now"):
        stock.count(part, 4, seen=5, token=uuid4(), by=owner, now=now)


def test_a_count_below_what_is_reserved_is_refused(part: Part, owner: User, now: datetime) -> None:
    reserve(part, 3, owner, now)
    with pytest.raises(Short, match="3 are reserved"):
        stock.count(part, 2, seen=5, token=uuid4(), by=owner, now=now)


def test_a_count_that_agrees_is_written_down(part: Part, owner: User, now: datetime) -> None:
    row = stock.count(part, 5, seen=5, token=uuid4(), by=owner, now=now)
    assert (row.deed, row.on_hand_change) == ("counted", 0)


@pytest.mark.parametrize("quantity", [0, -1, 10_000_001])
def test_odd_quantities_are_refused(quantity: int, part: Part, owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="Type a number"):
        stock.receive(part, quantity, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="Type a number"):
        reserve(part, quantity, owner, now)


def test_a_write_off_says_why(part: Part, owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="Say why"):
        stock.write_off(part, 1, reason=" ", token=uuid4(), by=owner, now=now)


@pytest.mark.parametrize("change", [{"on_hand": -1}, {"reserved": 6}, {"reserved": -1}])
def test_database_refuses_a_level_that_cannot_be(change: dict[str, int], part: Part) -> None:
    with pytest.raises(IntegrityError), transaction.atomic():
        StockLevel.objects.filter(part=part).update(**change)


def test_wire_is_told_by_length(owner: User, now: datetime) -> None:
    wire = make_part(owner, now, 800, kind="wire", name="wire, 22 AWG")
    Part.objects.filter(pk=wire.pk).update(counted="mm")
    wire.refresh_from_db()
    with pytest.raises(Short, match=r"1\.25\u202fm wanted, 800\u202fmm free"):
        reserve(wire, 1250, owner, now)
