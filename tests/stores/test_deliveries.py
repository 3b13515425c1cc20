"""What came of an order: part of it, all of it, twice, more than was ordered."""

from datetime import datetime
from uuid import uuid4

import pytest

from shop.models import User
from shop.stores.actions import Overtaken, Refused, buying
from shop.stores.actions.deliveries import MoreThanOrdered
from shop.stores.models import Delivery, Part, Purchase, PurchaseState, StockLevel, StockRow
from shop.stores.queries.buying import came_of
from tests.makers import at_once, make_part
from tests.stores.orders import deliver, line_of, make_draft, make_ordered

pytestmark = pytest.mark.django_db


@pytest.fixture
def part(owner: User, now: datetime) -> Part:
    return make_part(owner, now, name="speaker, 28 mm")


def on_hand(part: Part) -> int:
    return StockLevel.objects.get(part=part).on_hand


def test_part_delivery_goes_to_stock_and_the_rest_is_missing(
    part: Part, bench_hand: User, owner: User, now: datetime
) -> None:
    made = make_ordered(owner, now, (part, 5))
    delivery = deliver(made, bench_hand, now, (part, 2))
    row = StockRow.objects.get(delivery_line__delivery=delivery)
    assert (on_hand(part), row.cost_minor, row.by) == (2, 1250, bench_hand)
    came = came_of([line_of(made, part).pk])[line_of(made, part).pk]
    assert (came.came, came.missing, came.is_come) == (2, 3, False)


def test_last_delivery_closes_the_order(part: Part, owner: User, now: datetime) -> None:
    made = make_ordered(owner, now, (part, 5))
    deliver(made, owner, now, (part, 2))
    deliver(made, owner, now, (part, 3))
    assert Purchase.objects.get(pk=made.pk).state == PurchaseState.CLOSED
    came = came_of([line_of(made, part).pk])[line_of(made, part).pk]
    assert (came.is_come, came.all_came_at) == (True, now)


def test_double_tap_logs_once(part: Part, owner: User, now: datetime) -> None:
    made, token = make_ordered(owner, now, (part, 5)), uuid4()
    first = deliver(made, owner, now, (part, 2), seen=0, token=token)
    assert deliver(made, owner, now, (part, 2), seen=0, token=token) == first
    assert on_hand(part) == 2


def test_double_tap_on_the_last_delivery_logs_once(part: Part, owner: User, now: datetime) -> None:
    made, token = make_ordered(owner, now, (part, 5)), uuid4()
    first = deliver(made, owner, now, (part, 5), seen=0, token=token)
    assert deliver(made, owner, now, (part, 5), seen=0, token=token) == first


def test_other_tablet_with_the_same_parcel_is_told_who_was_first(
    part: Part, bench_hand: User, owner: User, now: datetime
) -> None:
    made = make_ordered(owner, now, (part, 5))
    deliver(made, bench_hand, now, (part, 2), seen=0)
    with pytest.raises(Overtaken, match="Jory logged a delivery first: 2 × speaker, 28 mm"):
        deliver(made, owner, now, (part, 2), seen=0)
    assert on_hand(part) == 2


def test_other_tablet_is_told_so_even_where_all_has_come(
    part: Part, bench_hand: User, owner: User, now: datetime
) -> None:
    made = make_ordered(owner, now, (part, 5))
    deliver(made, bench_hand, now, (part, 5), seen=0)
    with pytest.raises(Overtaken, match="Jory logged a delivery first"):
        deliver(made, owner, now, (part, 5), seen=0)


@pytest.mark.django_db(transaction=True)
def test_two_tablets_at_once_log_one_parcel(
    part: Part, bench_hand: User, owner: User, now: datetime
) -> None:
    made = make_ordered(owner, now, (part, 5))
    answers = at_once(
        lambda: deliver(made, bench_hand, now, (part, 5), seen=0),
        lambda: deliver(made, owner, now, (part, 5), seen=0),
    )
    assert sorted(type(one).__name__ for one in answers) == ["Delivery", "Overtaken"]
    assert on_hand(part) == 5


def test_more_than_was_ordered_is_asked_about(part: Part, owner: User, now: datetime) -> None:
    made = make_ordered(owner, now, (part, 5))
    with pytest.raises(MoreThanOrdered, match="7 of “speaker, 28 mm” came, and 5 were") as asked:
        deliver(made, owner, now, (part, 7))
    assert asked.value.lines == {line_of(made, part).pk}
    assert not Delivery.objects.exists()
    deliver(made, owner, now, (part, 7), surplus=asked.value.lines)
    assert on_hand(part) == 7


def test_nothing_ticked_is_refused(part: Part, owner: User, now: datetime) -> None:
    made = make_ordered(owner, now, (part, 5))
    with pytest.raises(Refused, match="nothing is ticked"):
        deliver(made, owner, now, (part, 0))


def test_nothing_comes_of_a_draft(part: Part, owner: User, now: datetime) -> None:
    made = make_draft(owner, now, (part, 5))
    with pytest.raises(Refused, match=f"{made} is draft. Receive"):
        deliver(made, owner, now, (part, 1))


def test_what_was_given_up_goes_to_stock_by_the_parts_page(
    part: Part, owner: User, now: datetime
) -> None:
    other = make_part(owner, now)
    made = make_ordered(owner, now, (part, 5), (other, 1))
    buying.drop_line(made.pk, line_of(made, part).pk, by=owner, now=now)
    with pytest.raises(Refused, match="was given up"):
        deliver(made, owner, now, (part, 5))


def test_refused_delivery_leaves_no_row(part: Part, owner: User, now: datetime) -> None:
    other = make_part(owner, now)
    made = make_ordered(owner, now, (part, 5), (other, 1))
    with pytest.raises(MoreThanOrdered):
        deliver(made, owner, now, (part, 2), (other, 3))
    assert (on_hand(part), Delivery.objects.count()) == (0, 0)


def test_delivery_locks_its_parts_in_one_order(part: Part, owner: User, now: datetime) -> None:
    """Two parcels with the same parts must not wait for one another."""
    other = make_part(owner, now)
    made = make_ordered(owner, now, (other, 1), (part, 1))
    deliver(made, owner, now, (other, 1), (part, 1))
    rows = StockRow.objects.filter(deed="received").order_by("pk")
    assert [row.part_id for row in rows] == sorted([part.pk, other.pk])
