"""Whoever was erased is left alone: nothing begins anew with them, and nothing is told them."""

import re
from datetime import datetime
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from builds.forgetting import left_alone
from builds.forgetting.actions.erasing import erase
from builds.handover.models import Return
from shop.models import Entry, House, Message, User
from shop.orders.models import Enquiry
from tests.forgetting.conftest import NAME, Known

pytestmark = pytest.mark.django_db(transaction=True)
EVERY = sorted(
    left_alone.OF_ORDERS | left_alone.OF_BUILDS | left_alone.OF_RETURNS | left_alone.OF_HILTS
    | left_alone.OF_ENQUIRIES | left_alone.OF_CUSTOMERS | left_alone.NAMING
)  # fmt: skip


@pytest.fixture
def erased(known: Known, owner: User, now: datetime) -> Known:
    erase(known.customer.pk, typed=NAME, by=owner, now=now)
    return known


def address(name: str, known: Known) -> str:
    """Where a deed is, about somebody known."""
    build = known.build
    order: dict[str, Any] = {"number": build.item.order.number}
    if name in left_alone.OF_ORDERS:
        more = {"revision": 1} if "desk_quote_" in name and name != "desk_quote_begin" else {}
        item = {"pk": build.item_id} if name == "desk_order_goods_part" else {}
        return reverse(name, kwargs=order | more | item)
    if name in left_alone.OF_BUILDS:
        return reverse(name, args=[build.number])
    if name in left_alone.OF_RETURNS:
        return reverse(name, args=[Return.objects.get().number])
    if name in left_alone.OF_HILTS:
        return reverse(name, args=[build.hilt_id])
    if name in left_alone.OF_ENQUIRIES:
        return reverse(name, args=[Enquiry.objects.filter(customer=known.customer)[0].pk])
    if name in left_alone.OF_CUSTOMERS:
        return reverse(name, args=[known.customer.pk])
    return reverse(name) + f"?customer={known.customer.pk}"


def test_every_deed_is_refused_and_leads_to_what_is_left(
    owner_client: Client, erased: Known, house: House
) -> None:
    page, entries = reverse("desk_customer", args=[erased.customer.pk]), Entry.objects.count()
    for name in EVERY:
        for send in (owner_client.get, owner_client.post):
            answer = send(address(name, erased))
            assert (answer.status_code, answer.headers["Location"]) == (303, page), name
    assert "They were erased." in owner_client.get(page).content.decode()
    assert Entry.objects.count() == entries
    assert not Message.objects.filter(customer=erased.customer).exists()


def test_no_deed_about_others_is_refused_so(
    owner_client: Client, known: Known, house: House
) -> None:
    for name in EVERY:
        answer = owner_client.post(address(name, known), follow=True)
        assert "They were erased." not in answer.content.decode(), name


OFFERS = ("Tell ", "New link", "Make the link", "Make a quote", "Another job", "Write a blade down",
          "Log what was said", "No address", "no address", "It comes back", "it comes back",
          "Open an account", "Record an answer", "New order")  # fmt: skip


def test_pages_offer_nothing_of_it_any_more(
    owner_client: Client, erased: Known, house: House
) -> None:
    build = erased.build
    for page in (
        reverse("desk_customer", args=[erased.customer.pk]),
        reverse("desk_order", args=[build.item.order.number]),
        reverse("bench_sheet", args=[build.number]),
        reverse("desk_statement", args=[erased.customer.pk]),
        reverse("handover_past", args=[build.hilt_id]),
    ):
        html = owner_client.get(page).content.decode()
        main = html[html.index("<main") : html.index("</main>")]
        words = re.sub(r"<[^>]+>", " ", main)
        assert not [offer for offer in OFFERS if offer in words], page
