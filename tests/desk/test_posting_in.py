"""The sheet that a customer gets before posting a hilt in."""

from datetime import date

import pytest
from django.test import Client

from shop.diary.models import Closure
from shop.house.models import House
from shop.models import Order
from tests.desk.conftest import Booker


@pytest.fixture
def order(booked: Booker) -> Order:
    return booked()


def shown(client: Client, order: Order) -> str:
    reply = client.get(f"/orders/{order.number}/posting-in/")
    assert reply.status_code == 200
    return reply.content.decode()


def test_sheet_says_what_to_write_on_the_box_and_where_it_goes(
    bench_client: Client, order: Order
) -> None:
    House.objects.update(address="9 Kiln Row\nExampleton")
    sheet = shown(bench_client, order)
    assert f'<p class="box-number num">{order.number}</p>' in sheet
    assert "9 Kiln Row<br>Exampleton" in sheet


def test_sheet_names_the_days_on_which_nobody_takes_it_in(
    bench_client: Client, order: Order
) -> None:
    Closure.objects.create(first=date(2099, 1, 1), last=date(2099, 1, 1))
    ahead = date.today().toordinal() + 1
    Closure.objects.create(first=date.fromordinal(ahead), last=date.fromordinal(ahead + 6))
    assert "let it arrive between" in shown(bench_client, order)


def test_sheet_without_an_address_leads_to_where_it_is_written(
    bench_client: Client, order: Order
) -> None:
    assert "address is missing" in shown(bench_client, order)


def test_sheet_tells_no_street_or_surname_of_the_customer(
    bench_client: Client, order: Order
) -> None:
    sheet = shown(bench_client, order)
    assert "Tannery" not in sheet
    assert "Ferris" not in sheet


def test_order_offers_the_sheet_while_its_hilt_is_expected(
    bench_client: Client, order: Order
) -> None:
    page = f"/orders/{order.number}/"
    assert "/posting-in/" in bench_client.get(page).content.decode()
    order.items.get().build.__class__.objects.update(state="intake")
    assert "/posting-in/" not in bench_client.get(page).content.decode()


def test_unknown_order_has_no_sheet(bench_client: Client) -> None:
    assert bench_client.get("/orders/2099-999/posting-in/").status_code == 404
