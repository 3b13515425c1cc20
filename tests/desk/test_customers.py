"""Customers: written down once, found by the beginning of a name, changed."""

from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.models import Customer
from tests.desk.conftest import Booker


def facts(**more: Any) -> dict[str, Any]:
    return {
        "token": str(uuid4()),
        "called": "Abel",
        "full_name": "",
        "email": "abel@example.com",
        "phone": "",
        "address": "",
        "country": "DE",
        "note": "",
        **more,
    }


def test_a_customer_tapped_twice_is_written_down_once(owner_client: Client) -> None:
    sent = facts()
    for _tap in range(2):
        assert owner_client.post("/customers/new/", sent).status_code == 303
    assert Customer.objects.get().full_name == "Abel"


def test_a_country_is_one_of_the_list(owner_client: Client) -> None:
    answer = owner_client.post("/customers/new/", facts(country="XX"))
    assert answer.status_code == 422
    assert "Select a valid choice" in answer.content.decode()
    assert "abel@example.com" in answer.content.decode()


@pytest.mark.parametrize("begins", ["maud", "FERR", "maud.ferris@"])
def test_customers_are_found_by_the_beginning(
    owner_client: Client, maud: Customer, begins: str
) -> None:
    page = owner_client.get("/customers/", {"begins": begins}).content.decode()
    assert f"/customers/{maud.pk}/" in page


def test_the_page_shows_facts_hilts_and_orders(owner_client: Client, booked: Booker) -> None:
    order = booked("Ninth Lantern")
    page = owner_client.get(f"/customers/{order.customer_id}/").content.decode()
    for words in ("Maud Ferris", "Tannery Row", "Ninth Lantern", order.number):
        assert words in page


def test_bench_hand_sees_no_price_on_a_customers_page(bench_client: Client, booked: Booker) -> None:
    order = booked(price_note="450 in all", agreed_how="person")
    page = bench_client.get(f"/customers/{order.customer_id}/").content.decode()
    assert "450 in all" not in page


def test_a_refused_change_keeps_what_was_typed_and_changes_nothing(
    owner_client: Client, maud: Customer
) -> None:
    answer = owner_client.post(f"/customers/{maud.pk}/", facts(called="", address="9 New Street"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "9 New Street" in page
    assert "<h1>Maud</h1>" in page
    maud.refresh_from_db()
    assert maud.called == "Maud"


def test_a_change_of_name_is_found_by_the_new_one(owner_client: Client, maud: Customer) -> None:
    owner_client.post(f"/customers/{maud.pk}/", facts(called="Mo", full_name="Mo Harrow"))
    page = owner_client.get("/customers/", {"begins": "harr"}).content.decode()
    assert f"/customers/{maud.pk}/" in page


def test_a_customers_page_asks_as_much_for_many_as_for_few(
    owner_client: Client, booked: Booker
) -> None:
    order = booked("First")
    with CaptureQueriesContext(connection) as few:
        owner_client.get(f"/customers/{order.customer_id}/")
    for nth in range(10):
        booked(f"Hilt {nth}")
    with CaptureQueriesContext(connection) as many:
        owner_client.get(f"/customers/{order.customer_id}/")
    assert len(many) == len(few)
