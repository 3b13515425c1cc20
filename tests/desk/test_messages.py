"""Messages: by where they stand, with the deeds that each of them allows."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.models import Customer, Message, User
from shop.post.actions import link_for, queue_message
from shop.post.models import Occasion, Scope
from tests.desk.conftest import Booker, build_on

Sayer = Callable[..., Message]


@pytest.fixture
def said(maud: Customer, owner: User, now: datetime) -> Sayer:
    def say(state: str = "queued", **facts: Any) -> Message:
        message = queue_message(
            key=str(uuid4()),
            occasion=facts.pop("occasion", Occasion.STAGE),
            about=facts.pop("about", ""),
            customer=maud,
            to="maud.ferris@example.com",
            subject=facts.pop("subject", "Ninth Lantern: test"),
            body=facts.pop("body", "Hello Maud,\n\nYour page: $link"),
            link=facts.pop("link", None),
            made_by=owner,
            now=now,
        )
        Message.objects.filter(pk=message.pk).update(state=state, **facts)
        return message

    return say


@pytest.mark.parametrize(
    ("state", "tab"),
    [
        ("queued", "waiting"),
        ("failed", "failed"),
        ("sent", "left"),
        ("logged", "left"),
        ("received", "received"),
        ("withdrawn", "withdrawn"),
    ],
)
def test_each_message_stands_in_its_own_tab(
    owner_client: Client, said: Sayer, state: str, tab: str
) -> None:
    said(state, subject="Copperfen ships on Friday")
    for other in ("waiting", "failed", "left", "received", "withdrawn"):
        page = owner_client.get("/messages/", {"show": other}).content.decode()
        assert ("Copperfen ships on Friday" in page) == (other == tab)


def test_a_failure_shows_the_servers_own_words(owner_client: Client, said: Sayer) -> None:
    said("failed", last_error="550 5.1.1 <maud.ferris@example.com> no such user")
    page = owner_client.get("/messages/", {"show": "failed"}).content.decode()
    assert "550 5.1.1 &lt;maud.ferris@example.com&gt; no such user" in page


def test_a_failed_message_is_tried_again(owner_client: Client, said: Sayer) -> None:
    message = said("failed")
    answer = owner_client.post(f"/messages/{message.pk}/again/", {"next": "/messages/?show=failed"})
    message.refresh_from_db()
    assert (answer.status_code, answer["Location"]) == (303, "/messages/?show=failed")
    assert message.state == "queued"


def test_a_waiting_message_is_withdrawn(bench_client: Client, said: Sayer) -> None:
    message = said()
    bench_client.post(f"/messages/{message.pk}/withdraw/")
    message.refresh_from_db()
    assert message.state == "withdrawn"


def test_what_left_meanwhile_cannot_be_withdrawn(owner_client: Client, said: Sayer) -> None:
    message = said("sent")
    answer = owner_client.post(f"/messages/{message.pk}/withdraw/", follow=True)
    message.refresh_from_db()
    assert message.state == "sent"
    assert "has left or is leaving" in answer.content.decode()


@pytest.mark.parametrize("deed", ["again", "withdraw"])
def test_stranger_cannot_touch_a_message(stranger: Client, said: Sayer, deed: str) -> None:
    message = said("failed" if deed == "again" else "queued")
    before = message.state
    answer = stranger.post(f"/messages/{message.pk}/{deed}/")
    assert answer["Location"].startswith("/sign-in/")
    message.refresh_from_db()
    assert message.state == ("failed" if deed == "again" else before)


def test_a_deed_goes_back_to_our_own_pages_alone(owner_client: Client, said: Sayer) -> None:
    message = said("failed")
    sent = {"next": "https://elsewhere.example/"}
    answer = owner_client.post(f"/messages/{message.pk}/again/", sent)
    assert answer["Location"] == "/messages/"


def test_no_private_link_stands_on_the_page(
    owner_client: Client, said: Sayer, booked: Booker, now: datetime
) -> None:
    link = link_for(Scope.ORDER, f"order:{booked().pk}", now)
    said("sent", link=link)
    page = owner_client.get("/messages/", {"show": "left"}).content.decode()
    assert "the customer&#x27;s private link" in page
    assert link.id not in page


def test_bench_hand_cannot_read_a_link_that_sets_a_password(
    bench_client: Client, said: Sayer
) -> None:
    said("sent", occasion=Occasion.PASSWORD, body="Go to /new-password/abc/def/")
    page = bench_client.get("/messages/", {"show": "left"}).content.decode()
    assert "only its reader sees it" in page
    assert "/new-password/abc/def/" not in page


def test_a_message_leads_to_what_it_is_about(
    owner_client: Client, said: Sayer, booked: Booker
) -> None:
    order = booked("Ninth Lantern")
    build = build_on(order)
    said(about=build.about)
    said(about=f"order:{order.pk}")
    page = owner_client.get("/messages/").content.decode()
    assert f'href="/build/{build.number}/"' in page
    assert f'href="/orders/{order.number}/"' in page


def test_the_page_says_that_mail_goes_nowhere(owner_client: Client) -> None:
    assert "No mail leaves yet" in owner_client.get("/messages/").content.decode()


def test_a_leaving_message_cannot_be_withdrawn_by_tap(
    owner_client: Client, said: Sayer, now: datetime
) -> None:
    said(leased_until=now + timedelta(days=3650))
    page = owner_client.get("/messages/").content.decode()
    assert "leaving now" in page
    assert "disabled" in page


def test_htmx_gets_the_list_alone(owner_client: Client, said: Sayer) -> None:
    said()
    headers = {"HX-Request": "true", "HX-Target": "messages"}
    part = owner_client.get("/messages/", headers=headers).content.decode()
    assert "Ninth Lantern: test" in part
    assert "<html" not in part


def test_the_list_asks_as_much_for_many_as_for_few(
    owner_client: Client, said: Sayer, booked: Booker
) -> None:
    said(about=build_on(booked("First")).about)
    with CaptureQueriesContext(connection) as few:
        owner_client.get("/messages/")
    for nth in range(12):
        said(about=build_on(booked(f"Hilt {nth}")).about)
    with CaptureQueriesContext(connection) as many:
        owner_client.get("/messages/")
    assert len(many) == len(few)


def test_what_left_stands_the_newest_first_over_all_its_pages(
    owner_client: Client, said: Sayer, now: datetime
) -> None:
    states = ["sent", "logged", "logged"]
    for nth in range(60):
        # Two of each moment: then the one that was written last comes first.
        said(states[nth % 3], subject=f"No. {nth:02}", made_at=now + timedelta(hours=nth // 2))
    seen = []
    for nth in (1, 2, 3, 4):
        page = owner_client.get("/messages/", {"show": "left", "page": nth})
        seen.append([row.message.subject for row in page.context["rows"]])
    assert [len(rows) for rows in seen] == [25, 25, 10, 10]  # none after the last: that one again
    assert [one for rows in seen[:3] for one in rows] == [
        f"No. {nth:02}" for nth in range(59, -1, -1)
    ]
