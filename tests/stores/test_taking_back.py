"""A delivery that was logged wrongly: out of stock again, and awaited as if it had never come."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.progress.actions import hold
from builds.progress.queries import freed_holds, open_holds
from shop.models import User
from shop.stores.actions import Short, buying, stock
from shop.stores.actions.deliveries import take_back
from shop.stores.models import Delivery, Part, Purchase, PurchaseState, StockLevel, StockRow
from shop.stores.queries.buying import came_of
from shop.stores.queries.history import leads
from shop.web.speech import speaking
from tests.bench.pages import tap, words
from tests.makers import at_once, make_build, make_part
from tests.stores.bought import waits_for
from tests.stores.orders import deliver, line_of, make_ordered

pytestmark = pytest.mark.django_db


@pytest.fixture
def part(owner: User, now: datetime) -> Part:
    return make_part(owner, now, name="speaker, 28 mm")


@pytest.fixture
def ordered(part: Part, owner: User, now: datetime) -> Purchase:
    return make_ordered(owner, now, (part, 5))


def on_hand(part: Part) -> int:
    return StockLevel.objects.get(part=part).on_hand


def state(purchase: Purchase) -> str:
    return Purchase.objects.get(pk=purchase.pk).state


def missing(purchase: Purchase, part: Part) -> int:
    key = line_of(purchase, part).pk
    return came_of([key])[key].missing


def test_it_is_out_of_stock_and_awaited_again(
    part: Part, ordered: Purchase, bench_hand: User, owner: User, now: datetime
) -> None:
    logged = deliver(ordered, owner, now, (part, 5))
    assert state(ordered) == PurchaseState.CLOSED
    for _twice in range(2):
        take_back(logged.pk, by=bench_hand, now=now)
    assert (on_hand(part), missing(ordered, part)) == (0, 5)
    assert state(ordered) == PurchaseState.ORDERED
    row = StockRow.objects.get(on_hand_change=-5)
    assert (row.reason, row.by, row.cost_minor) == ("logged wrongly", bench_hand, 1250)


def test_it_is_logged_anew_as_it_was(
    part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    take_back(deliver(ordered, owner, now, (part, 5)).pk, by=owner, now=now)
    deliver(ordered, owner, now, (part, 2))
    assert (on_hand(part), missing(ordered, part)) == (2, 3)


def test_what_was_given_up_stays_given_up(
    part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    logged = deliver(ordered, owner, now, (part, 2))
    buying.close(ordered.pk, by=owner, now=now)
    take_back(logged.pk, by=owner, now=now)
    assert (on_hand(part), state(ordered)) == (0, PurchaseState.CLOSED)


def test_what_is_reserved_by_now_stays(
    part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    logged = deliver(ordered, owner, now, (part, 5))
    whose = {"about": "build:1", "whose": "0142 Copperfen"}
    stock.reserve(part, 1, **whose, token=uuid4(), by=owner, now=now)
    with pytest.raises(Short, match=r"5 wanted, 4 free\. Oda reserved 1 for 0142 Copperfen"):
        take_back(logged.pk, by=owner, now=now)
    assert (on_hand(part), missing(ordered, part)) == (5, 0)
    assert Delivery.objects.get().taken_back_at is None


def test_build_that_it_freed_waits_again(
    part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    hold(build.pk, fields=waits_for(ordered, part, now), by=owner, now=now)
    logged = deliver(ordered, owner, now, (part, 5))
    assert freed_holds([build.pk])
    take_back(logged.pk, by=owner, now=now)
    assert not freed_holds([build.pk])
    assert len(open_holds([build.pk])[build.pk]) == 1
    later = now + timedelta(days=3)
    deliver(ordered, owner, later, (part, 5))
    assert [held.came_at for held in freed_holds([build.pk])[build.pk]] == [later]


def test_it_teaches_nothing_of_how_long_they_take(
    part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    for _thrice in range(3):
        take_back(deliver(ordered, owner, now, (part, 1)).pk, by=owner, now=now)
    assert leads([ordered.supplier])[ordered.supplier.pk].learned_from == 0


def test_order_of_which_all_was_taken_back_can_be_cancelled(
    part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    take_back(deliver(ordered, owner, now, (part, 1)).pk, by=owner, now=now)
    buying.cancel(ordered.pk, by=owner, now=now)
    assert state(ordered) == PurchaseState.CANCELLED


def test_bench_takes_it_back_on_the_page_of_the_order(
    bench_client: Client, part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    logged = deliver(ordered, owner, now, (part, 5))
    address = f"/stores/orders/{ordered}/came/{logged.pk}/back/"
    assert address in bench_client.get(f"/stores/orders/{ordered}/").content.decode()
    answer = tap(bench_client, address)
    assert "It is out of stock again, and awaited." in words(answer)
    assert "Logged wrongly, taken back" in words(answer)
    assert "Taken back, logged wrongly: 5 × speaker, 28 mm" in words(answer)
    assert address not in answer.content.decode()


def test_bench_is_told_why_it_cannot_be_taken_back(
    bench_client: Client, part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    logged = deliver(ordered, owner, now, (part, 5))
    stock.write_off(part, 1, reason="cone torn", token=uuid4(), by=owner, now=now)
    answer = tap(bench_client, f"/stores/orders/{ordered}/came/{logged.pk}/back/")
    assert "5 wanted, 4 free." in words(answer)
    assert on_hand(part) == 4


def test_delivery_of_another_order_is_not_found_here(
    bench_client: Client, part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    logged = deliver(make_ordered(owner, now, (part, 1)), owner, now, (part, 1))
    address = f"/stores/orders/{ordered}/came/{logged.pk}/back/"
    assert bench_client.post(address).status_code == 404
    assert on_hand(part) == 1


@pytest.mark.django_db(transaction=True)
def test_two_tablets_at_once_take_it_back_once(
    part: Part, ordered: Purchase, bench_hand: User, owner: User, now: datetime
) -> None:
    deliver(ordered, owner, now, (part, 2))
    logged = deliver(ordered, owner, now, (part, 2))
    answers = at_once(
        lambda: take_back(logged.pk, by=bench_hand, now=now),
        lambda: take_back(logged.pk, by=owner, now=now),
    )
    assert [type(one) for one in answers] == [Purchase, Purchase]
    assert on_hand(part) == 2


def test_why_it_left_is_in_the_language_of_the_shop(
    part: Part, ordered: Purchase, owner: User, now: datetime
) -> None:
    logged = deliver(ordered, owner, now, (part, 5))
    with speaking("de"):
        take_back(logged.pk, by=owner, now=now)
    assert StockRow.objects.get(on_hand_change=-5).reason == "logged wrongly"
