"""The rush fee: the shop's rule, offered on a quote, a line of its own, fixed as it is sent."""

from datetime import date, datetime
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.test import Client

from builds.queue.models import Outlook, Reckoning
from shop.models import House, Order, Quote, User
from shop.orders.actions import place_order, quote_seen
from shop.orders.models import LineOf
from shop.stores.models import Kit
from tests.bench.pages import words
from tests.desk.conftest import Booker, build_on
from tests.desk.test_quotes import at, begin, typed
from tests.makers import make_service

NEEDED = date(2026, 12, 11)  # to leave by Monday the 7th, with two days on the way
PUT_ON = "Put the rush fee on"
LATE = '<p class="brass">In its turn'


@pytest.fixture(autouse=True)
def rule(house: House) -> None:
    """A quarter of the hours, £30 at least."""
    House.objects.update(
        currency="GBP", tax_hundredths=2000, hour_minor=4200, rush_hundredths=2500,
        rush_least_minor=3000,
    )  # fmt: skip


@pytest.fixture
def order(booked: Booker) -> Order:
    make_service(name="Road", transit_days=2)
    return booked(needed_by=NEEDED)


@pytest.fixture(autouse=True)
def _same_moment(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    monkeypatch.setattr("builds.desk.views.quotes.now", lambda: now)


def forecast(order: Order, day: date | None, now: datetime, behind: int = 10) -> None:
    """A run of the forecast by which the order leaves by a day, eight times in ten."""
    run = Reckoning.objects.create(made_at=now, mark="m", runs=1, took_ms=1)
    Outlook.objects.create(reckoning=run, build=build_on(order), place=1, day_80=day, behind=behind)


def test_the_fee_is_a_share_of_the_hours_as_they_are_typed(
    owner_client: Client, order: Order
) -> None:
    quote = begin(owner_client, order)
    answer = owner_client.post(at(quote), typed(quote, rush="on"), follow=True)
    line = quote.lines.get(kind=LineOf.RUSH)
    # a quarter of 8.5 hours at 42
    assert (line.each_minor, line.tax_hundredths) == (8_925, 2_000)
    assert (line.words, line.item) == ("Rush, to leave by 7 December", order.items.get())
    assert "The rush fee is on." in words(answer)
    assert PUT_ON not in words(answer)


def test_the_fee_is_the_least_where_the_hours_are_few(owner_client: Client, order: Order) -> None:
    quote = begin(owner_client, order)
    few = {"line-0-low": "", "line-0-quantity": "1"}
    owner_client.post(at(quote), typed(quote, rush="on", **few))
    assert quote.lines.get(kind=LineOf.RUSH).each_minor == 3_000


def test_the_hours_in_a_kit_count_with_it(owner_client: Client, order: Order) -> None:
    House.objects.update(rush_least_minor=0)
    quote, kit = begin(owner_client, order), Kit.objects.create(name="Full")
    kit.hours.create(stage="install", minutes=120)
    line = {"line-0-kind": "kit", "line-0-kit": str(kit.pk), "line-0-low": "", "line-0-each": "200"}
    owner_client.post(at(quote), typed(quote, rush="on", **line, **{"line-0-quantity": "1"}))
    assert quote.lines.get(kind=LineOf.RUSH).each_minor == 2_100  # of 84


def test_the_fee_is_put_on_once(owner_client: Client, order: Order) -> None:
    quote = begin(owner_client, order)
    owner_client.post(at(quote), typed(quote, rush="on"))
    on = {"line-TOTAL_FORMS": "2", "line-1-kind": "rush", "line-1-words": "Rush"}
    again = typed(quote, rush="on", **on, **{"line-1-quantity": "1", "line-1-each": "89.25"})
    answer = owner_client.post(at(quote), again, follow=True)
    assert quote.lines.filter(kind=LineOf.RUSH).count() == 1
    assert "No rush fee was put on: it is on already" in words(answer)


def test_a_shop_without_a_rule_asks_none(owner_client: Client, order: Order) -> None:
    House.objects.update(rush_hundredths=0, rush_least_minor=0)
    quote = begin(owner_client, order)
    assert PUT_ON not in words(owner_client.get(at(quote)))
    owner_client.post(at(quote), typed(quote, rush="on"))
    assert not quote.lines.filter(kind=LineOf.RUSH).exists()


def test_the_rule_is_said_beside_the_button(owner_client: Client, order: Order) -> None:
    quote = begin(owner_client, order)
    owner_client.post(at(quote), typed(quote))
    shown = words(owner_client.get(at(quote)))
    assert f"{PUT_ON} 25 % of the hours, £30.00 at least: now £89.25" in shown


def test_below_ten_finished_builds_no_odds_of_its_turn_are_said(
    owner_client: Client, order: Order, now: datetime
) -> None:
    forecast(order, date(2026, 12, 14), now, behind=9)
    page = owner_client.get(at(begin(owner_client, order))).content.decode()
    assert "eight times in ten" not in words(page)


def test_an_order_whose_turn_comes_too_late_is_said_to_be_so(
    owner_client: Client, order: Order, now: datetime
) -> None:
    forecast(order, date(2026, 12, 14), now)
    page = owner_client.get(at(begin(owner_client, order))).content.decode()
    assert "In its turn it leaves by Monday 14 December, eight times in ten." in words(page)
    assert LATE in page


@pytest.mark.parametrize("day", [date(2026, 12, 7), None])
def test_an_order_in_time_or_of_which_nothing_is_known_is_not_called_late(
    owner_client: Client, order: Order, now: datetime, day: date | None
) -> None:
    forecast(order, day, now)
    page = owner_client.get(at(begin(owner_client, order))).content.decode()
    assert "Needed by Friday 11 December. It must leave by Monday 7 December." in words(page)
    assert LATE not in page


def test_the_fee_of_a_quote_that_was_sent_is_fixed(
    owner_client: Client, order: Order, owner: User
) -> None:
    quote = begin(owner_client, order)
    owner_client.post(at(quote), typed(quote, rush="on"))
    owner_client.post(at(quote, "send/"), {"seen": quote_seen(quote)})
    quote.refresh_from_db()
    assert "- Rush, to leave by 7 December: £89.25" in quote.text
    line = quote.lines.get(kind=LineOf.RUSH)
    with pytest.raises(IntegrityError, match="fixed"), transaction.atomic():
        quote.lines.filter(pk=line.pk).update(each_minor=1)
    with pytest.raises(IntegrityError, match="fixed"), transaction.atomic():
        line.delete()


def test_the_bench_sees_no_fee(bench_client: Client, owner_client: Client, order: Order) -> None:
    quote = begin(owner_client, order)
    assert bench_client.post(at(quote), {"rush": "on"}).status_code == 403
    assert "ush fee" not in words(bench_client.get(f"/orders/{order.number}/"))


def test_without_a_day_the_owner_may_still_ask_it(owner_client: Client, booked: Booker) -> None:
    quote = begin(owner_client, booked())
    owner_client.post(at(quote), typed(quote, rush="on"))
    assert Quote.objects.get().lines.get(kind=LineOf.RUSH).words == "Rush: taken out of turn"


def test_the_fee_is_said_to_move_nothing_by_itself(owner_client: Client, order: Order) -> None:
    quote = begin(owner_client, order)
    page = owner_client.get(at(quote))
    build = build_on(order)
    assert "The fee moves nothing by itself" in words(page)
    assert f"/dates/new/?kind={build.kind}" in page.content.decode()
    assert f"/dates/order/{build.number}/?to=first" in page.content.decode()
    assert owner_client.get(f"/dates/new/?kind={build.kind}").status_code == 200


def test_the_order_says_by_when_it_must_leave_before_anything_is_on_it(
    owner_client: Client, owner: User, order: Order, now: datetime
) -> None:
    empty = place_order(order.customer, token=uuid4(), needed_by=NEEDED, by=owner, now=now)
    assert "It must leave by" in words(owner_client.get(f"/orders/{empty.number}/"))
